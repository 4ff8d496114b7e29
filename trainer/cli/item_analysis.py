"""`trainer item-analysis`: what a table of responses says about its items."""

from math import isfinite
from typing import Any

import click
import numpy as np

from trainer.cli.lines import print_json, read_text
from trainer.core.measurement.analysis.classical import p_values, point_biserials
from trainer.core.measurement.analysis.differences import Difference, differences, purified
from trainer.core.measurement.analysis.groups import complete_rows, read_groups
from trainer.core.measurement.analysis.logistic import (
    LogisticDifference,
    logistic_differences,
)
from trainer.core.measurement.analysis.reliability import Reliability, reliability
from trainer.core.measurement.calibration.table import Table, read_table
from trainer.core.measurement.evidence import NOT_GIVEN
from trainer.core.measurement.response_model import Floats
from trainer.core.problems import InputProblem

LEAST = 2


@click.command(
    name="item-analysis", epilog="Example: trainer item-analysis responses.csv --group groups.csv"
)
@click.argument("responses", metavar="RESPONSES.csv")
@click.option("--group", "groups", metavar="GROUPS.csv", help="Columns person and group: compare.")
def command(responses: str, groups: str | None) -> None:
    """Difficulty, discrimination, reliability, and differences between two groups.

    RESPONSES.csv has one row a person: first column `person`, then one column an item with 0, 1
    or nothing. Only people who answered every item count; `n` is how many those are. Of the two
    groups the first by name is the reference: an mh_alpha above 1 favours it. A small lr_p with
    an mh_class A says that the difference changes sides with ability.
    """
    table = read_table(read_text(responses), responses)
    people, marks = _enough(table, responses)
    found: dict[str, Any] = _whole(reliability(marks), len(table.people))
    items = _items(table, marks)
    if groups is not None:
        names, of_each = read_groups(read_text(groups), groups, people)
        focal = np.array(of_each) == names[1]
        found["groups"] = {
            "reference": {"group": names[0], "n": int((~focal).sum())},
            "focal": {"group": names[1], "n": int(focal.sum())},
        }
        compared = _compared(
            differences(marks, focal),
            purified(marks, focal),
            logistic_differences(marks, focal),
        )
        items = [row | more for row, more in zip(items, compared, strict=True)]
    print_json(found | {"items": items})


def _enough(table: Table, name: str) -> tuple[tuple[str, ...], Floats]:
    people, marks = complete_rows(table)
    if len(people) < LEAST:
        what = f"has {len(people) or 'no'} person who answered every item"
        raise InputProblem(what, name, "Give at least two, or leave out items that few were asked.")
    if len(table.items) < LEAST:
        raise InputProblem("has one item only", f"{name}, line 1", "Give at least two.")
    return people, marks


def _whole(found: Reliability, people: int) -> dict[str, Any]:
    return {
        "n": found.people,
        "people": people,
        "mean": _number(found.mean),
        "sd": _number(found.sd),
        "alpha": _number(found.alpha),
        "alpha_se": _number(found.alpha_se),
        "alpha_interval": [_number(end) for end in found.interval],
        "sem": _number(found.sem),
    }


def _items(table: Table, marks: Floats) -> list[dict[str, Any]]:
    answered = (table.marks != NOT_GIVEN).sum(axis=0)
    with_item, rest = point_biserials(marks)
    dropped = reliability(marks).if_dropped
    return [
        {
            "item": item,
            "answered": int(answered[n]),
            "p": _number(p),
            "r_total": _number(with_item[n]),
            "r_rest": _number(rest[n]),
            "alpha_if_dropped": _number(dropped[n]),
            "mh_alpha": None,
            "mh_delta": None,
            "mh_chi2": None,
        }
        for n, (item, p) in enumerate(zip(table.items, p_values(marks), strict=True))
    ]


def _compared(
    plain: Difference, pure: Difference, logistic: LogisticDifference
) -> list[dict[str, Any]]:
    rows = zip(
        plain.odds_ratio,
        plain.delta,
        plain.chi2,
        plain.p_value,
        plain.classes(),
        pure.classes(),
        logistic.p_both,
        strict=True,
    )
    return [
        {
            "mh_alpha": _number(odds),
            "mh_delta": _number(delta),
            "mh_chi2": _number(chi2),
            "mh_p": _number(p),
            "mh_class": size or None,
            "mh_class_purified": purer or None,
            "lr_p": _number(either),
        }
        for odds, delta, chi2, p, size, purer, either in rows
    ]


def _number(value: float) -> float | None:
    """JSON has no infinity and no NaN: what cannot be said is null."""
    return float(value) if isfinite(value) else None
