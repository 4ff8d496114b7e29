"""A calibration as plain data, to be stored and read again unchanged."""

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from typing import Any

from trainer.core.measurement.calibration.recalibrate import Calibration, FamilyFound
from trainer.core.measurement.priors import Outlook
from trainer.core.problems import InputProblem


def to_document(found: Calibration) -> dict[str, Any]:
    """JSON-ready: `{dated, people, answers, log_likelihood, converged, outlook, families}`.

    `outlook`: `{names, weights, covariance, spread, slope}`; `families`: name -> `{a, b, sd,
    floor, n, infit, outfit, row}`, as `recalibrate.FamilyFound`.
    """
    document = asdict(found)
    document["dated"] = found.dated.isoformat()
    return document


def from_document(document: Mapping[str, Any], name: str) -> Calibration:
    """The calibration that `to_document` wrote. `name` says where it stood.

    Raises InputProblem naming what is missing or unknown.
    """
    try:
        families = {
            family: FamilyFound(**{**row, "row": tuple(row["row"])})
            for family, row in document["families"].items()
        }
        outlook = document["outlook"]
        return Calibration(
            date.fromisoformat(document["dated"]),
            document["people"],
            document["answers"],
            families,
            Outlook(
                tuple(outlook["names"]),
                tuple(outlook["weights"]),
                tuple(map(tuple, outlook["covariance"])),
                outlook["spread"],
                outlook["slope"],
            ),
            document["log_likelihood"],
            document["converged"],
        )
    except (AttributeError, KeyError, TypeError, ValueError) as problem:
        raise InputProblem(
            f"is no calibration: {problem} is missing or unknown", name, "Calibrate again."
        ) from None
