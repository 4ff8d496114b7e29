"""Reach an item's key again from its givens and the bank, sharing no code with its making.

Brute force over rules, dates and procedures. The audit compares what comes out with the key.
"""

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from itertools import product
from typing import Any

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Condition

GRAVITY = ("go_ahead", "adapt", "wait", "refer", "decline")
DAYS = {"day": 1.0, "week": 7.0, "month": 365.2425 / 12, "year": 365.2425, "hour": 1 / 24}
Answer = list[str] | None


def resolve(bank: Bank, item: Item) -> Answer:
    """The right answer in words (see `audit_item.right_texts`), or None if it is out of reach."""
    model = item.heading.family.rsplit(".", 1)[0]
    reasoning = bank.item_models[model]["reasoning"]
    way = WAYS.get(reasoning)
    return sorted(way(bank, item)) if way else None


def gravest(bank: Bank, method: str, profile: Mapping[str, Any]) -> str:
    """The highest verdict of any rule that speaks for this profile."""
    found = ["go_ahead"]
    for rule in bank.rules.values():
        scope = rule.methods
        ours = method in scope or "all" in scope
        ours = ours or ("bonded" in scope and _stays(bank, method, profile))
        spared = bool(rule.unless) and _all(bank, rule.unless, profile)
        if ours and not spared and _all(bank, rule.when, profile):
            found.append(rule.verdict)
    return max(found, key=GRAVITY.index)


def _stays(bank: Bank, method: str, profile: Mapping[str, Any]) -> bool:
    found = bank.methods[method]
    return found.bonded and not (found.loose_when and _all(bank, found.loose_when, profile))


def _all(bank: Bank, conditions: tuple[Condition, ...], profile: Mapping[str, Any]) -> bool:
    return all(_one(bank, condition, profile.get(condition.attribute)) for condition in conditions)


def _one(bank: Bank, condition: Condition, value: Any) -> bool:
    if value is None:
        return False
    tests = (
        (condition.is_, lambda bound: value == bound),
        (condition.is_not, lambda bound: value != bound),
        (condition.one_of or None, lambda bound: value in bound),
        (condition.at_least, lambda bound: value >= _figure(bank, bound)),
        (condition.at_most, lambda bound: value <= _figure(bank, bound)),
        (condition.above, lambda bound: value > _figure(bank, bound)),
        (condition.below, lambda bound: value < _figure(bank, bound)),
    )
    return all(test(bound) for bound, test in tests if bound is not None)


def _figure(bank: Bank, bound: Any) -> float:
    if isinstance(bound, str):
        name, end = bound.split("/")
        return float(getattr(bank.facts[name], end))
    return float(bound)


def _days(bank: Bank, fact: str) -> tuple[float, float]:
    found = bank.facts[fact]
    return (found.low or 0) * DAYS[found.unit], (found.high or 0) * DAYS[found.unit]


def _verdict(bank: Bank, item: Item) -> list[str]:
    """The option that says the gravest verdict, in the words that the item model has for it."""
    verdict = gravest(bank, item.givens["method"], item.givens["profile"])
    words = bank.item_models[item.heading.family.rsplit(".", 1)[0]]["words"][verdict]
    begun = tuple(word.split("{{")[0].strip() for word in words)
    return [option.text for option in item.options if option.text.startswith(begun)]


def _offered(bank: Bank, item: Item) -> list[str]:
    profile = item.givens["profile"]
    fit = [m for m in item.givens["methods"] if gravest(bank, m, profile) in GRAVITY[:2]]
    names = tuple(bank.methods[method].name for method in fit)
    return [option.text for option in item.options if option.text.startswith(names)]


def _signs(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    return [
        text
        for text, seen in given["signs"].items()
        if gravest(bank, given["method"], {**given["profile"], **seen}) in GRAVITY[3:]
    ]


def _window(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    low, high = _days(bank, given["window_fact"])
    fitted = date.fromisoformat(given["fitted"])
    away = [date.fromisoformat(day) for day in given["away"]]
    for number in range(int(high) + 1):
        day = fitted + timedelta(days=number)
        works = day.isoweekday() in given["open_weekdays"]
        if number >= low and works and not away[0] <= day <= away[1]:
            return [day.isoformat()]
    return []


def _worn(bank: Bank, item: Item) -> list[str]:
    low, high = _days(bank, item.givens["window_fact"])
    today = date.fromisoformat(item.givens["today"])
    worn = (today - date.fromisoformat(item.givens["fitted"])).days
    zone = "early" if worn < low else "due" if worn <= high else "late"
    model, method = item.heading.family.rsplit(".", 1)
    renewal = bank.methods[method].renewal
    words = [
        one.replace("{{ renewal }}", renewal) for one in bank.item_models[model]["words"][zone]
    ]
    return [option.text for option in item.options if option.text in words]


def _order(bank: Bank, item: Item) -> list[str]:
    """Pairs that hold in every order that the procedure allows: found by walking `after`."""
    procedure = bank.procedures[item.givens["procedure"]]
    after = {step.id: set(step.after) for step in procedure.steps}
    for _ in after:
        after = {s: e.union(*(after[one] for one in e)) if e else e for s, e in after.items()}
    named = {step: text for text, step in item.givens["steps"].items()}
    return [
        f"{named[first]} > {named[then]}"
        for first, then in product(named, named)
        if first in after.get(then, set())
    ]


def _struck(bank: Bank, item: Item) -> list[str]:
    procedure = bank.procedures[item.givens["procedure"]]
    never = {one.id for one in procedure.forbidden}
    return [text for text, line in item.givens["lines"].items() if line in never]


def _agent(bank: Bank, item: Item) -> list[str]:
    agents = bank.methods[item.givens["method"]].agents
    return [bank.products[one].name for one in item.givens["offered"] if one in agents]


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


def _start(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    hours, minutes = (int(part) for part in given["done_by"].split(":"))
    longest = round(_days(bank, given["time_fact"])[1] * 24 * 60) if _timed(bank, given) else 0
    start = hours * 60 + minutes - longest - given["tidy_minutes"]
    return [f"{start // 60:02d}:{start % 60:02d}"]


def _timed(bank: Bank, given: Mapping[str, Any]) -> bool:
    return bank.facts[given["time_fact"]].unit in DAYS


def _line(bank: Bank, item: Item) -> list[str]:
    """The line whose value lies outside its fact's range."""
    out = {
        role
        for role, row in item.givens["values"].items()
        if not bank.facts[row["fact"]].low <= row["value"] <= bank.facts[row["fact"]].high
    }
    return [text for text, role in item.givens["lines"].items() if role in out]


def _tested(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    hours = bank.facts[given["wait_fact"]].high or 0
    day = date.fromisoformat(given["tested"])
    for number in range(30):
        later = day + timedelta(days=number)
        gone = number * 24 + given["visit_hour"] - given["tested_hour"]
        if gone >= hours and later.isoweekday() in given["open_weekdays"]:
            return [later.isoformat()]
    return []


DAYS["minute"] = 1 / 24 / 60
WAYS: Mapping[str, Callable[[Bank, Item], list[str]]] = {
    "offer_verdict": _verdict,
    "may_be_offered": _offered,
    "signs_that_stop": _signs,
    "return_window": _window,
    "overdue": _worn,
    "earliest_after_test": _tested,
    "steps_in_order": _order,
    "strike_out": _struck,
    "remover_for_bond": _agent,
    "shed_count": _shed,
    "own_hairs": _hairs,
    "growth_out": _grown,
    "latest_start": _start,
    "change_one_line": _line,
}
