"""How hard an item is: as the calibration in use found its family, else by its features."""

from collections.abc import Iterable, Mapping
from typing import Any

from trainer.core.items.item import Item
from trainer.core.items.registry import type_of
from trainer.core.measurement.priors import Difficulty, before_data
from trainer.store import calibrations
from trainer.store.unit import Unit

Kept = Mapping[str, float] | None
"""Slope a, difficulty b and its SD b_sd as kept with an item; None where only features speak."""


def in_use(unit: Unit, families: Iterable[str]) -> Mapping[tuple[str, str], dict[str, float]]:
    """(family, level) -> {a, b, b_sd}; left out what the calibration in use does not know.

    It is kept with the item when that is shown: what is adopted later moves no mark given before.
    """
    found = calibrations.of_families(unit, sorted(set(families)))
    return {(one.family, one.level): {"a": one.a, "b": one.b, "b_sd": one.b_sd} for one in found}


def difficulty_of(item: Item, kept: Kept = None) -> Difficulty:
    """The parameters that an answer to an item is read by."""
    floor = type_of(item).chance(item)
    if kept is None:
        return before_data(item.heading.level, item.features, floor)
    return Difficulty(kept["a"], kept["b"], kept["b_sd"], floor)


def kept_for(item: Item, found: Mapping[tuple[str, str], Any]) -> Any:
    """What to keep with an item that is about to be shown."""
    return found.get((item.heading.family, item.heading.level))
