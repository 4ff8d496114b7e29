"""What the ways of reaching a key share: rules by brute force, figures and days."""

from collections.abc import Callable, Mapping
from typing import Any

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Condition
from trainer.core.knowledge.rule import Rule

Way = Callable[[Bank, Item], list[str]]
"""From an item's givens to its key in words (see `audit.right_texts`)."""
GRAVITY = ("go_ahead", "adapt", "wait", "refer", "decline")
DAYS = {
    "minute": 1 / 24 / 60,
    "hour": 1 / 24,
    "day": 1.0,
    "week": 7.0,
    "month": 365.2425 / 12,
    "year": 365.2425,
}


def gravest(bank: Bank, method: str, profile: Mapping[str, Any]) -> str:
    """The highest verdict of any rule that speaks for this profile."""
    found = ["go_ahead", *(rule.verdict for rule in firing(bank, method, profile))]
    return max(found, key=GRAVITY.index)


def _speaks(bank: Bank, method: str, rule: Rule, profile: Mapping[str, Any]) -> bool:
    scope = rule.methods
    ours = method in scope or "all" in scope
    ours = ours or ("bonded" in scope and _stays(bank, method, profile))
    spared = bool(rule.unless) and all_hold(bank, rule.unless, profile)
    return ours and not spared and all_hold(bank, rule.when, profile)


def _stays(bank: Bank, method: str, profile: Mapping[str, Any]) -> bool:
    found = bank.methods[method]
    return found.bonded and not (found.loose_when and all_hold(bank, found.loose_when, profile))


def all_hold(bank: Bank, conditions: tuple[Condition, ...], profile: Mapping[str, Any]) -> bool:
    """Whether every condition holds for a profile."""
    return all(_one(bank, condition, profile.get(condition.attribute)) for condition in conditions)


def _one(bank: Bank, condition: Condition, value: Any) -> bool:
    if value is None:
        return False
    tests = (
        (condition.is_, lambda bound: value == bound),
        (condition.is_not, lambda bound: value != bound),
        (condition.one_of or None, lambda bound: value in bound),
        (condition.at_least, lambda bound: value >= figure(bank, bound)),
        (condition.at_most, lambda bound: value <= figure(bank, bound)),
        (condition.above, lambda bound: value > figure(bank, bound)),
        (condition.below, lambda bound: value < figure(bank, bound)),
    )
    return all(test(bound) for bound, test in tests if bound is not None)


def figure(bank: Bank, bound: Any) -> float:
    """A bound as a number: as written, or an end of a fact ('fact.id/low')."""
    if isinstance(bound, str):
        name, end = bound.split("/")
        return float(getattr(bank.facts[name], end))
    return float(bound)


def days(bank: Bank, fact: str) -> tuple[float, float]:
    """The ends of a fact's time in days."""
    found = bank.facts[fact]
    return (found.low or 0) * DAYS[found.unit], (found.high or 0) * DAYS[found.unit]


def model_of(item: Item) -> tuple[str, str]:
    """The item model and the method of an item's family."""
    model, method = item.heading.family.rsplit(".", 1)
    return model, method


def firing(bank: Bank, method: str, profile: Mapping[str, Any]) -> list[Rule]:
    """Every rule that speaks for this profile."""
    return [rule for rule in bank.rules.values() if _speaks(bank, method, rule, profile)]


def options_saying(bank: Bank, item: Item, word: str) -> list[str]:
    """The options that begin as the item model's words under a key do, before any gap."""
    said = bank.item_models[model_of(item)[0]]["words"][word]
    begun = tuple(one.split("{{")[0].strip() for one in ([said] if isinstance(said, str) else said))
    return [option.text for option in item.options if option.text.startswith(begun)]
