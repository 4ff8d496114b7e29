"""Bookings that are not cleared, as the page lists them: by day, by person and work, by hour.

What holds for several bookings of one person is said once, and texts are made once: a thousand
bookings are listed in one go.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby

from trainer.use_cases.weigh_bookings import Line
from trainer.web.words import SERVICE_WORDS

OPEN = 100
"""Bookings that are shown at first; the days after these are opened with a click."""


@dataclass(frozen=True)
class Hours:
    """Bookings one after the other, (hour, what it says), that the same people could do instead.

    `instead` names them; '' where nobody could.
    """

    instead: str
    bookings: list[tuple[str, str]] = field(default_factory=list)


@dataclass(frozen=True)
class Work:
    """What one person, or nobody, is booked for on a day: the answer ('' for nobody) and why."""

    person: str
    work: str
    answer: str
    reason: str
    hours: list[Hours] = field(default_factory=list)


@dataclass(frozen=True)
class Day:
    """One day, by the first hour of each work; `shown` at once or opened with a click."""

    day: date
    count: int
    shown: bool
    works: Sequence[Work]


def listed(lines: Sequence[Line], methods: Mapping[str, str]) -> Sequence[Day]:
    """Group bookings by start for the page; `methods`: id -> what it is called."""
    found: list[Day] = []
    before = 0
    for day, all_ in groupby(lines, key=lambda one: one.day):
        here = list(all_)
        shown = not found or before + len(here) <= OPEN
        found.append(Day(day, len(here), shown, _works(here, methods)))
        before += len(here)
    return found


def _works(lines: Sequence[Line], methods: Mapping[str, str]) -> Sequence[Work]:
    found: dict[tuple[str, str, str], Work] = {}
    for one in lines:
        key = (one.person_id, one.method, one.service)
        work = found.get(key)
        if work is None:
            work = found[key] = _work(one, methods)
        instead = _instead(one)
        if not work.hours or work.hours[-1].instead != instead:
            work.hours.append(Hours(instead))
        work.hours[-1].bookings.append((f"{one.booking.start:%H:%M}", one.booking.title))
    return list(found.values())


def _work(one: Line, methods: Mapping[str, str]) -> Work:
    words = f"{methods.get(one.method, one.method)}, {SERVICE_WORDS[one.service].lower()}"
    if one.clearance is None:
        return Work("", words, "", "")
    return Work(one.person, words, one.clearance.answer, one.clearance.reason)


def _instead(one: Line) -> str:
    more = f" and {one.others} more" if one.others else ""
    return f"{', '.join(one.instead)}{more}"
