"""Reach an item's key again from its givens and the bank, sharing no code with its making.

Brute force over rules, dates and procedures; a module of this package for each kind of key. The
audit compares what comes out with the key.
"""

from collections.abc import Mapping

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve import (
    advice_given,
    consultation,
    dates,
    drawings,
    figures,
    loads,
    procedures,
    verdicts,
)
from trainer.core.scenarios.resolve.tools import GRAVITY, Way, gravest

__all__ = ["GRAVITY", "WAYS", "gravest", "resolve", "way_for"]

WAYS: Mapping[str, Way] = {
    **verdicts.WAYS,
    **dates.WAYS,
    **procedures.WAYS,
    **figures.WAYS,
    **loads.WAYS,
    **advice_given.WAYS,
    **drawings.WAYS,
    **consultation.WAYS,
}
"""Line of reasoning -> how its key is reached again."""


def resolve(bank: Bank, item: Item) -> list[str] | None:
    """The right answer in words (see `audit.right_texts`), or None if it is out of reach."""
    way = way_for(bank, item)
    return sorted(way(bank, item)) if way else None


def way_for(bank: Bank, item: Item) -> Way | None:
    """How this item's key is reached again, or None if nothing here can."""
    model = item.heading.family.rsplit(".", 1)[0]
    if model in bank.consultations:
        return WAYS["consultation"]
    return WAYS.get(bank.item_models[model]["reasoning"])
