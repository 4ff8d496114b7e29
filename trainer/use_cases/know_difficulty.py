"""How hard an item is: as the calibration in use found its family, else by its features."""

from collections.abc import Mapping, Sequence
from typing import Any

from trainer.core.items.item import Item
from trainer.core.items.registry import type_of
from trainer.core.measurement.calibration.recalibrate import Answer, Calibration, FamilyFound
from trainer.core.measurement.priors import Difficulty, Outlook, before_data
from trainer.store import calibrations
from trainer.store.unit import Unit

Kept = Mapping[str, float] | None
"""Slope a, difficulty b and its SD b_sd as kept with an item; None where only features speak."""


def in_use(unit: Unit, families: Sequence[str]) -> Calibration | None:
    """The calibration in use with what it knows of these families; None while there is none."""
    found = calibrations.of_families(unit, sorted(set(families)))
    if not found:
        return None
    run = found[0]
    return Calibration(
        run.made_at.date(),
        run.people,
        run.responses,
        {one.family: family_found(one, one.n) for one in found if one.family is not None},
        outlook_of(run.summary),
        run.summary["log_likelihood"],
        run.summary["converged"],
        run.summary["centre"],
    )


def centre_of_people(unit: Unit) -> float:
    """Mean ability of those whom the calibration in use was made from; 0 while there is none."""
    run = calibrations.in_use(unit)
    return 0.0 if run is None else float(run.summary["centre"])


def outlook_of(summary: Mapping[str, Any]) -> Outlook:
    """What features say of families without answers, as a calibration keeps it."""
    kept = summary["outlook"]
    return Outlook(
        tuple(kept["names"]),
        tuple(kept["weights"]),
        tuple(map(tuple, kept["covariance"])),
        kept["spread"],
        kept["slope"],
    )


def to_keep(items: Sequence[Item], found: Calibration | None) -> list[Kept]:
    """What to keep with items that are about to be shown: adopting another later moves no mark."""
    if found is None:
        return [None] * len(items)
    said = [
        found.difficulty(
            item.heading.family, item.heading.level, item.features, type_of(item).chance(item)
        )
        for item in items
    ]
    return [{"a": one.a, "b": one.b, "b_sd": one.b_sd} for one in said]


def difficulty_of(item: Item, kept: Kept = None) -> Difficulty:
    """The parameters that an answer to an item is read by."""
    floor = type_of(item).chance(item)
    if kept is None:
        return before_data(item.heading.level, item.features, floor)
    return Difficulty(kept["a"], kept["b"], kept["b_sd"], floor)


def answer_of(row: Any, item: Item, right: bool) -> Answer:
    """A kept answer as a calibration reads it: `row` has person_id and at.

    Its `person` is one person, on one method, in one month: so long an ability is taken as steady.
    """
    heading = item.heading
    return Answer(
        f"{row.person_id} {heading.method} {row.at:%Y-%m}",
        heading.family,
        right,
        heading.level,
        dict(item.features),
        type_of(item).chance(item),
    )


def family_found(row: Any, answers: int) -> FamilyFound:
    """A family of a calibration as the store holds it."""
    means = tuple(row.means)
    return FamilyFound(row.a, row.b, row.b_sd, row.floor, answers, row.infit, row.outfit, means)
