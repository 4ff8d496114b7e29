"""Find out how hard each family is from what people answered; put a calibration into use.

A job or a command, never part of a request: reading, reckoning and writing are three units apart,
and nothing changes for anybody until the new calibration is adopted.
"""

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any

from trainer.core.items.codec import from_kept
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.calibration.drift import Drift, drift
from trainer.core.measurement.calibration.linking import linked
from trainer.core.measurement.calibration.recalibrate import (
    Answer,
    Calibration,
    FamilyFound,
    recalibrate,
)
from trainer.store import calibrations
from trainer.store.calibrations import CalibrationRow
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.know_difficulty import answer_of, family_found, in_use
from trainer.use_cases.know_growth import JUDGED, InPractice
from trainer.use_cases.refusals import InputProblem, NotFound

LEAST = 200
"""Fewer answers than this teach nothing that features do not say as well."""
FEWEST = 6
"""Of fewer people nobody can say whether they are able or their questions easy."""


@dataclass(frozen=True, slots=True)
class Made:
    """A new calibration, kept beside the one in use, and how families moved against that one."""

    id: str
    found: Calibration
    moved: Drift | None


def gather(unit: Unit) -> list[Answer]:
    """Every answer of every organisation, sittings before practice, oldest first.

    What was left open in a sitting counts as not right: there was time for it.
    """
    return list(_all(unit))


def present(unit: Unit) -> Calibration | None:
    """The whole calibration in use; None while there is none."""
    run = calibrations.in_use(unit)
    return None if run is None else in_use(unit, list(families_found(unit, run.id)))


def reckon(answers: list[Answer], before: Calibration | None, dated: date) -> Calibration:
    """The calibration of these answers, on the scale of the one before.

    Takes seconds: do it outside any unit.

    Raises InputProblem while there are too few.
    """
    if len(answers) < LEAST:
        raise InputProblem(
            f"are too few: {len(answers)}, and {LEAST} are needed",
            "answers",
            "Let people practise first; until then difficulty is judged from features.",
        )
    people = len({one.person for one in answers})
    if people < FEWEST:
        raise InputProblem(
            f"are from too few people: {people}, and {FEWEST} are needed",
            "answers",
            "Let more people practise first; until then difficulty is judged from features.",
        )
    return linked(recalibrate(answers, dated), before)


def keep(
    unit: Unit, bank: Bank, found: Calibration, now: datetime, growth: InPractice = JUDGED
) -> Made:
    """Keep a calibration, and the growth in practice found with it, beside the one in use.

    That one is not touched; the two are compared. Raises InputProblem for one that holds anything
    but numbers, of which nothing is kept.
    """
    if not found.finite():
        raise InputProblem(
            "holds what is no number", "calibration", "Let more people practise, then try again."
        )
    before = calibrations.in_use(unit)
    row = CalibrationRow(
        made_at=now,
        bank_version=bank.version,
        people=found.people,
        responses=found.answers,
        summary={
            "log_likelihood": found.log_likelihood,
            "converged": found.converged,
            "centre": found.centre,
            "outlook": asdict(found.outlook),
            "growth": asdict(growth),
        },
        adopted_at=None,
        retired_at=None,
    )
    new_id = calibrations.keep(unit, row, [_row(*one) for one in found.families.items()])
    moved = drift(families_found(unit, before.id), found.families) if before else None
    return Made(new_id, found, moved)


def adopt(unit: Unit, calibration_id: str, now: datetime) -> CalibrationRow:
    """Put a calibration into use in place of the one before; adopting twice changes nothing.

    Marks that were given before stay as they are. Raises InputProblem for one that is unknown,
    was in use before, or did not come to rest.
    """
    try:
        row = calibrations.calibration(unit, calibration_id)
    except NotFound:
        raise InputProblem("is no calibration", calibration_id, "Look at the ids again.") from None
    if row.retired_at is not None:
        raise InputProblem("was in use before", calibration_id, "Make a new one.")
    if not row.summary["converged"]:
        raise InputProblem("did not come to rest", calibration_id, "Make a new one later.")
    if row.adopted_at is not None:
        return row
    before = calibrations.in_use(unit)
    if before is not None:
        before.retired_at = now
    row.adopted_at = now
    unit.session.flush()
    body = {"calibration": row.id, "before": before.id if before else "", "bank": row.bank_version}
    log(unit, "calibration.adopted", body, now)
    return row


def families_found(unit: Unit, calibration_id: str) -> Mapping[str, FamilyFound]:
    """What a calibration says of each family."""
    rows = calibrations.families_of(unit, calibration_id)
    return {row.family: family_found(row, row.responses) for row in rows}


def _row(family: str, found: FamilyFound) -> dict[str, Any]:
    return {
        "family": family,
        "a": found.a,
        "b": found.b,
        "b_sd": found.sd,
        "floor": found.floor,
        "responses": found.n,
        "infit": found.infit,
        "outfit": found.outfit,
        "means": list(found.row),
    }


def _all(unit: Unit) -> Iterator[Answer]:
    for row in calibrations.sitting_responses(unit):
        item = from_kept(row.kept)
        right = row.answer is not None and type_of(item).mark(item, row.answer).right
        yield answer_of(row, item, right)
    for row in calibrations.practice_responses(unit):
        yield answer_of(row, from_kept(row.kept), row.right)
