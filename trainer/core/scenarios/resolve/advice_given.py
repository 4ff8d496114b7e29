"""Keys that stand as cited lines in an item model: care at home, what to do when it goes wrong."""

from collections.abc import Mapping

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import Way, model_of


def _care(bank: Bank, item: Item) -> list[str]:
    """The lines whose scope takes the method in."""
    method = item.givens["method"]
    scopes = {method, "all"} | ({"bonded"} if bank.methods[method].bonded else set())
    held = {
        line["text"]
        for line in bank.item_models[model_of(item)[0]]["settings"]["lines"]
        if scopes & set(line.get("holds_for", ()))
    }
    return [text for text in item.givens["lines"] if text in held]


def _now(bank: Bank, item: Item) -> list[str]:
    """The act that begins as the cited case's right act does."""
    cases = bank.item_models[model_of(item)[0]]["settings"]["cases"]
    case = next(one for one in cases if one["id"] == item.givens["trouble"])
    begun = tuple(text.split("{{")[0].strip() for text in case["do"])
    return [text for text in item.givens["acts"] if text.startswith(begun)]


WAYS: Mapping[str, Way] = {"care_sheet": _care, "what_now": _now}
