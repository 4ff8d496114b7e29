"""Keys that stand as cited lines in the bank: care at home, what to do when it goes wrong."""

from collections.abc import Mapping

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import Way


def _care(bank: Bank, item: Item) -> list[str]:
    """The lines whose scope takes the method in."""
    method = item.givens["method"]
    scopes = {method, "all"} | ({"bonded"} if bank.methods[method].bonded else set())
    held = {line.text for line in bank.home_care.values() if scopes & set(line.holds_for)}
    return [text for text in item.givens["lines"] if text in held]


def _now(bank: Bank, item: Item) -> list[str]:
    """The act that begins as the cited trouble's right act does."""
    trouble = bank.troubles[item.givens["trouble"]]
    begun = tuple(text.split("{{")[0].strip() for text in trouble.do)
    return [text for text in item.givens["acts"] if text.startswith(begun)]


WAYS: Mapping[str, Way] = {"care_sheet": _care, "what_now": _now}
