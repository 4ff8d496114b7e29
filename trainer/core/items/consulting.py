"""A consultation as it stands: what has been found so far, and what can still be done.

Everything that a page may show before the decision comes from here: findings of steps that were
taken, and nothing of the rest.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.core.items.item import Item


@dataclass(frozen=True, slots=True)
class Taken:
    """A step that was taken: what was done, what it showed, on which day it was read."""

    id: str
    kind: str
    words: str
    finding: str
    read_on: date


@dataclass(frozen=True, slots=True)
class Open:
    """A step that can still be taken. `days`: how long it must wait before it is read."""

    id: str
    kind: str
    words: str
    minutes: int
    days: int


@dataclass(frozen=True, slots=True)
class Chair:
    """Where a consultation stands. `minutes`: at the chair so far; `today`: the date by now."""

    stem: str
    card: tuple[str, ...]
    taken: tuple[Taken, ...]
    open: tuple[Open, ...]
    minutes: int
    today: date
    methods: tuple[tuple[str, str], ...]


def chair(item: Item, steps: Sequence[str]) -> Chair:
    """A consultation after these steps, in the order in which they were taken.

    Unknown ids are passed over; a step taken twice counts once.
    """
    given = item.givens
    rows = {row["id"]: row for row in given["steps"]}
    order = [step for step in dict.fromkeys(steps) if step in rows]
    day = date.fromisoformat(given["today"])
    taken, minutes = [], 0
    for step in order:
        row = rows[step]
        day += timedelta(days=row["days"])
        minutes += row["minutes"]
        taken.append(Taken(step, row["kind"], row["words"], row["finding"], day))
    still = [row for row in given["steps"] if row["id"] not in order]
    return Chair(
        item.stem,
        tuple(given["card"]),
        tuple(taken),
        tuple(Open(r["id"], r["kind"], r["words"], r["minutes"], r["days"]) for r in still),
        minutes,
        day,
        tuple((method, given["names"][method]) for method in given["methods"]),
    )


def days_gone(item: Item, steps: Sequence[str]) -> int:
    """Whole days that these steps have taken."""
    return (chair(item, steps).today - date.fromisoformat(item.givens["today"])).days


def first_open(item: Item, day: date) -> date:
    """The first day of work from a day on."""
    while day.isoweekday() not in item.givens["open_weekdays"]:
        day += timedelta(days=1)
    return day
