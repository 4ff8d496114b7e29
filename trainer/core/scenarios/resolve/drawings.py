"""Keys that a drawing shows: reached from the measures in the givens, never from the picture."""

from collections.abc import Mapping
from typing import Any

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import GRAVITY, Way, gravest, model_of

MM = {"mm": 1.0, "cm": 10.0}


def _breaks(bank: Bank, item: Item, part: Mapping[str, float]) -> int:
    """How many measures of a part lie outside their facts' ranges."""
    facts = {role: bank.facts[name] for role, name in item.givens["limits"].items()}
    return sum(
        value < (facts[role].low or 0) or value > (facts[role].high or 0)
        for role, value in part.items()
    )


def _named(item: Item, letters: list[str]) -> list[str]:
    """The options of some letters: ids of parts, or the drawing's letters in small."""
    wanted = {*letters, *(letter.lower() for letter in letters)}
    return [option.text for option in item.options if option.id in wanted]


def _at_fault(bank: Bank, item: Item) -> list[str]:
    parts = item.givens["measured"].items()
    return _named(item, [letter for letter, part in parts if _breaks(bank, item, part)])


def _sound(bank: Bank, item: Item) -> list[str]:
    parts = item.givens["measured"].items()
    return _named(item, [letter for letter, part in parts if not _breaks(bank, item, part)])


def _read(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    between = given["near_at_mm"] - given["edge_at_mm"]
    if given["asked"] == "move":
        fact = bank.facts[given["fact"]]
        between = (fact.low or 0) * MM[fact.unit] - between
    return [f"{between:g}"]


def _outnumbered(bank: Bank, item: Item) -> list[str]:
    density = item.givens["per_cm2"]
    return _named(
        item,
        [
            letter
            for letter, part in item.givens["parts"].items()
            if part["added"] * 100 > part["width_mm"] * part["depth_mm"] * density
        ],
    )


def _to_do(bank: Bank, item: Item) -> list[str]:
    """By the rules where what is drawn is an attribute of a client, else by the recipe."""
    model = bank.item_models[model_of(item)[0]]
    given, words = item.givens, model["words"]
    told: Any = model["settings"]["signs"][given["drawn"]]["do"]
    if not model["settings"]["shows_attachment"]:
        stops = GRAVITY.index(gravest(bank, given["method"], given["seen"])) >= 2 + 1
        told = "do_stop" if stops else "do_go_on"
    return [option.text for option in item.options if option.text in words[told]]


WAYS: Mapping[str, Way] = {
    "fault_in_section": _at_fault,
    "fault_on_head_map": _at_fault,
    "safe_one_of_four": _sound,
    "read_distance": _read,
    "section_against_strand": _outnumbered,
    "what_is_drawn": _to_do,
}
