"""Where the bars of the time line of ends stand."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

MONTHS = 12
WIDTH, HEIGHT, FOOT = 46, 90, 22
"""Of one month, of the tallest bar and of the words beneath, in units of the drawing."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One month: what it is called, how many records end in it, and its bar."""

    name: str
    count: int
    x: int
    y: float
    height: float


def time_line(ends: Mapping[str, int], today: date) -> tuple[Bar, ...]:
    """This month and those after it, a year in all; `ends` is by '2026-11'."""
    months = [_month(today, ahead) for ahead in range(MONTHS + 1)]
    most = max((ends.get(f"{one:%Y-%m}", 0) for one in months), default=0) or 1
    return tuple(
        _bar(one, place, ends.get(f"{one:%Y-%m}", 0), most) for place, one in enumerate(months)
    )


def _month(today: date, ahead: int) -> date:
    number = today.year * MONTHS + today.month - 1 + ahead
    return date(number // MONTHS, number % MONTHS + 1, 1)


def _bar(month: date, place: int, count: int, most: int) -> Bar:
    height = round(HEIGHT * count / most, 1)
    name = f"{month:%b %Y}" if place == 0 or month.month == 1 else f"{month:%b}"
    return Bar(name, count, place * WIDTH, HEIGHT - height + FOOT, height)
