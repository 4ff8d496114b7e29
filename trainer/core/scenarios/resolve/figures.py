"""Keys that are reckoned from figures."""

from collections.abc import Mapping

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import Way


def _shed(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    part, of = given["share"]
    return [f"{round(given['per_day'] * given['days'] * part / of):g}"]


def _hairs(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    return [f"{round(given['width_mm'] * given['depth_mm'] * given['per_cm2'] / 100):g}"]


def _grown(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    return [f"{round(given['placed_mm'] + given['rate_um_per_day'] * given['days'] / 1000):g}"]


def _line(bank: Bank, item: Item) -> list[str]:
    """The line whose value lies outside its fact's range."""
    out = {
        role
        for role, row in item.givens["values"].items()
        if not bank.facts[row["fact"]].low <= row["value"] <= bank.facts[row["fact"]].high
    }
    return [text for text, role in item.givens["lines"].items() if role in out]


WAYS: Mapping[str, Way] = {
    "shed_count": _shed,
    "own_hairs": _hairs,
    "growth_out": _grown,
    "change_one_line": _line,
}
