"""The decision and the plan of a consultation, reached again by brute force over the rules."""

from collections.abc import Mapping
from datetime import date, timedelta
from math import ceil, floor
from typing import Any

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import GRAVITY, Way, all_hold, days, gravest

FITTED = GRAVITY[:2]


def _consultation(bank: Bank, item: Item) -> list[str]:
    """Each method with and without the test; then the plan by counting days one by one."""
    given = item.givens
    before: Mapping[str, Any] = given["profile"]
    test = given["skin_test"]
    hours = {"skin_test_hours": test["wait_days"] * 24}
    after = {**before, **hours, "skin_test_result": test["result"]}
    quiet = {**before, **hours, "skin_test_result": "clear"}
    decided: dict[str, str] = {}
    tested = []
    for method in given["methods"]:
        plain, calm = gravest(bank, method, before), gravest(bank, method, quiet)
        test_alone = plain == "wait" and calm in FITTED
        tested += [method] if test_alone else []
        decided[method] = gravest(bank, method, after) if test_alone else plain
    lines = [f"{method}: {verdict}" for method, verdict in decided.items()]
    first, *others = given["methods"]
    may = [first] if decided[first] in FITTED else [m for m in others if decided[m] in FITTED]
    return lines + [_plan(bank, given, after, method, method in tested) for method in may]


def _plan(
    bank: Bank, given: Mapping[str, Any], profile: Mapping[str, Any], method: str, waits: bool
) -> str:
    day = date.fromisoformat(given["today"])
    day += timedelta(days=given["skin_test"]["wait_days"] * waits)
    while day.isoweekday() not in given["open_weekdays"]:
        day += timedelta(days=1)
    first, last = _back(bank, method, profile, day)
    low, high = _grams(bank, method, profile)
    return f"plan {method} {low}-{high} g {day.isoformat()} {first} {last}"


def _back(
    bank: Bank, method: str, profile: Mapping[str, Any], day: date
) -> tuple[str | None, str | None]:
    found = bank.methods[method]
    off = bool(found.loose_when) and all_hold(bank, found.loose_when, profile)
    name = found.roles.move_up
    shaky = not name or {one.kind for one in bank.facts[name].basis} <= {"unconfirmed"}
    if off or not found.bonded or shaky:
        return None, None
    low, high = days(bank, name)
    first, last = day + timedelta(days=ceil(low)), day + timedelta(days=floor(high))
    return first.isoformat(), last.isoformat()


def _grams(bank: Bank, method: str, profile: Mapping[str, Any]) -> tuple[int, int]:
    spoken = {
        rule.topic
        for rule in bank.rules.values()
        if _covers(bank, rule.methods, method, profile) and all_hold(bank, rule.when, profile)
    }
    light, wish = bank.facts["consult.grams_lighter"], bank.facts["consult.grams_of_wish"]
    least = wish if not spoken else light
    most = light if "tension_risk" in spoken else wish
    asked = profile["wanted_grams"]
    return ceil(asked * (least.low or 0) / 100), floor(asked * (most.high or 0) / 100)


def _covers(bank: Bank, scope: tuple[str, ...], method: str, profile: Mapping[str, Any]) -> bool:
    found = bank.methods[method]
    off = bool(found.loose_when) and all_hold(bank, found.loose_when, profile)
    return method in scope or "all" in scope or ("bonded" in scope and found.bonded and not off)


WAYS: Mapping[str, Way] = {"consultation": _consultation}
