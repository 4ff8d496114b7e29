"""One booking of a salon: when, with whom, what for. Nothing else of a diary is read."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cached_property
from typing import NamedTuple

MOST = 3_000  # bookings a week that one check takes
LONGEST_TITLE = 200  # characters
LONGEST_STAFF = 80
WEEK = timedelta(days=7)
UNSAID = timedelta(hours=1)
"""How long a booking is taken to last that says no end: whoever has it is not free at its start."""


class Booking(NamedTuple):
    """One booking. `start` and `end` are the salon's own clock, without a zone; `end` >= `start`,
    and the same where no end is said.

    `title` says what for, `staff` with whom; either may be ''. A title may hold a client's name:
    bookings are worked on and shown, never kept. They sort by start.
    """

    start: datetime
    end: datetime
    title: str
    staff: str


@dataclass(frozen=True)
class Diary:
    """The bookings of one week by start, and what was left out of it, in words for the salon.

    `reach`: first and last day of all that the file holds, None where it holds nothing. `bare`:
    titles come from a column of their own for work, so there is nothing else in them.
    """

    bookings: Sequence[Booking]
    notes: Sequence[str] = ()
    reach: tuple[date, date] | None = None
    bare: bool = False


@dataclass(frozen=True)
class Week:
    """Seven days from a Monday."""

    monday: date

    @cached_property
    def start(self) -> datetime:
        """Its first moment, by the salon's clock."""
        return datetime.combine(self.monday, time())

    @cached_property
    def end(self) -> datetime:
        """The first moment after it."""
        return self.start + WEEK

    def holds(self, moment: datetime) -> bool:
        """Tell whether a moment of the salon's clock lies in the week."""
        return self.start <= moment < self.end


def week_of(day: date) -> Week:
    """Give the week that holds a day.

    Parameters
    ----------
    day : Any day.

    Returns
    -------
    The week from the Monday on or before it.
    """
    return Week(day - timedelta(days=day.weekday()))


def without_end(count: int) -> Sequence[str]:
    """Say of how many bookings nobody knows when they end.

    Parameters
    ----------
    count : So many say no end.

    Returns
    -------
    One note, or none.
    """
    if not count:
        return ()
    return (f"Bookings that say no end, so an hour is reckoned with to see who is free: {count}.",)


def reach(starts: Sequence[datetime]) -> tuple[date, date] | None:
    """Say from when to when bookings go.

    Parameters
    ----------
    starts : When each begins, in any order.

    Returns
    -------
    The first and the last day; None for no booking.
    """
    return (min(starts).date(), max(starts).date()) if starts else None
