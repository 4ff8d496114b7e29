"""What the ways of reaching a key share: rules by brute force, figures and days."""

from collections.abc import Callable, Iterator, Mapping
from operator import eq, ge, gt, le, lt, ne
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


def firing(bank: Bank, method: str, profile: Mapping[str, Any]) -> list[Rule]:
    """Every rule that speaks for this profile: each is asked, none is passed over."""
    stays = _stays(bank, method, profile)
    rules = bank.once(("tests of rules",), lambda: _tests_of_rules(bank))
    return [
        rule
        for rule, when, unless in rules
        if _passes(when, profile)
        and _ours(rule.methods, method, stays)
        and not (unless and _passes(unless, profile))
    ]


def _ours(scope: tuple[str, ...], method: str, stays: bool) -> bool:
    return method in scope or "all" in scope or ("bonded" in scope and stays)


def _stays(bank: Bank, method: str, profile: Mapping[str, Any]) -> bool:
    found = bank.methods[method]
    return found.bonded and not (found.loose_when and all_hold(bank, found.loose_when, profile))


def all_hold(bank: Bank, conditions: tuple[Condition, ...], profile: Mapping[str, Any]) -> bool:
    """Whether every condition holds for a profile."""
    return _passes(_tests(bank, conditions), profile)


Test = tuple[str, Callable[[Any, Any], bool], Any]
"""An attribute, how its value is compared, and with what."""
LIMITS: tuple[tuple[str, Callable[[Any, Any], bool]], ...] = (
    ("at_least", ge),
    ("at_most", le),
    ("above", gt),
    ("below", lt),
)


def _tests_of_rules(bank: Bank) -> list[tuple[Rule, tuple[Test, ...], tuple[Test, ...]]]:
    return [(r, _tests(bank, r.when), _tests(bank, r.unless)) for r in bank.rules.values()]


def _tests(bank: Bank, conditions: tuple[Condition, ...]) -> tuple[Test, ...]:
    return tuple(test for condition in conditions for test in _tests_in(bank, condition))


def _tests_in(bank: Bank, condition: Condition) -> Iterator[Test]:
    name = condition.attribute
    if condition.is_ is not None:
        yield name, eq, condition.is_
    if condition.is_not is not None:
        yield name, ne, condition.is_not
    if condition.one_of:
        yield name, _among, condition.one_of
    for word, compared in LIMITS:
        bound = getattr(condition, word)
        if bound is not None:
            yield name, compared, figure(bank, bound)


def _among(value: Any, bound: tuple[str, ...]) -> bool:
    return value in bound


def _passes(tests: tuple[Test, ...], profile: Mapping[str, Any]) -> bool:
    """Whether a profile passes every test; what is not known passes none."""
    for name, compared, bound in tests:
        value = profile.get(name)
        if value is None or not compared(value, bound):
            return False
    return True


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


def options_saying(bank: Bank, item: Item, word: str) -> list[str]:
    """The options that begin as the item model's words under a key do, before any gap."""
    said = bank.item_models[model_of(item)[0]]["words"][word]
    begun = tuple(one.split("{{")[0].strip() for one in ([said] if isinstance(said, str) else said))
    return [option.text for option in item.options if option.text.startswith(begun)]
