"""Keys that the calendar and the clock give."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import DAYS, Way, days, model_of


def _window(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    low, high = days(bank, given["window_fact"])
    fitted = date.fromisoformat(given["fitted"])
    away = [date.fromisoformat(day) for day in given["away"]]
    for number in range(int(high) + 1):
        day = fitted + timedelta(days=number)
        works = day.isoweekday() in given["open_weekdays"]
        if number >= low and works and not away[0] <= day <= away[1]:
            return [day.isoformat()]
    return []


def _worn(bank: Bank, item: Item) -> list[str]:
    low, high = days(bank, item.givens["window_fact"])
    today = date.fromisoformat(item.givens["today"])
    worn = (today - date.fromisoformat(item.givens["fitted"])).days
    zone = "early" if worn < low else "due" if worn <= high else "late"
    model, method = model_of(item)
    renewal = bank.methods[method].renewal
    words = [
        one.replace("{{ renewal }}", renewal) for one in bank.item_models[model]["words"][zone]
    ]
    return [option.text for option in item.options if option.text in words]


def _start(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    hours, minutes = (int(part) for part in given["done_by"].split(":"))
    longest = round(days(bank, given["time_fact"])[1] * 24 * 60) if _timed(bank, given) else 0
    start = hours * 60 + minutes - longest - given["tidy_minutes"]
    return [f"{start // 60:02d}:{start % 60:02d}"]


def _timed(bank: Bank, given: Mapping[str, Any]) -> bool:
    return bank.facts[given["time_fact"]].unit in DAYS


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


def _gap(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    longest = days(bank, given["time_fact"])[1] / DAYS["minute"]
    need = longest + given["tidy_minutes"]
    fit = {text: minutes for text, minutes in given["gaps"].items() if minutes >= need - 1e-6}
    return [min(fit, key=lambda text: fit[text])]


def _test_day(bank: Bank, item: Item) -> list[str]:
    given = item.givens
    hours = bank.facts[given["wait_fact"]].high or 0
    fitting = date.fromisoformat(given["fitting"])
    for number in range(30):
        day = fitting - timedelta(days=number)
        gone = number * 24 + given["fit_hour"] - given["test_hour"]
        if gone >= hours and day.isoweekday() in given["open_weekdays"]:
            return [day.isoformat()]
    return []


def _visits(bank: Bank, item: Item) -> list[str]:
    """Walk from visit to visit, each as late as it may be, until the last day is in reach."""
    longest = timedelta(days=days(bank, item.givens["fact"])[1])
    at, end = (date.fromisoformat(item.givens[k]) for k in ("fitted", "worn_until"))
    visits = 0
    while at + longest < end:
        at, visits = at + longest, visits + 1
    return [f"{visits:g}"]


WAYS: Mapping[str, Way] = {
    "return_window": _window,
    "overdue": _worn,
    "earliest_after_test": _tested,
    "latest_start": _start,
    "day_column": _gap,
    "latest_test_day": _test_day,
    "visits_needed": _visits,
}
