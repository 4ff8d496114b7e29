"""A typical question of each family that assessments draw on."""

from collections.abc import Mapping, Sequence

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.family import Family, families
from trainer.core.scenarios.generate import generate

LEVEL = "working"
STEPWISE = ("consultation",)
"""Types that take a room of their own and have no place in a sitting."""


def sat_families(bank: Bank, method: str) -> Sequence[Family]:
    """The families of a method that a sitting may hold."""
    return [one for one in families(bank, method=method) if one.recipe.type not in STEPWISE]


def typical_items(bank: Bank, method: str) -> Mapping[str, Item]:
    """Family -> its first question at the level of assessments, for one method."""
    return bank.once(("typical", method), lambda: _made(bank, method))


def _made(bank: Bank, method: str) -> Mapping[str, Item]:
    return {one.id: generate(bank, one.id, 0, LEVEL) for one in sat_families(bank, method)}
