"""One booking of a salon: when, with whom, what for. Nothing else of a diary is read."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

MOST = 3_000  # bookings a week that one check takes
LONGEST_TITLE = 200  # characters
LONGEST_STAFF = 80
WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Booking:
    """One booking. `start` and `end` are the salon's own clock, without a zone; `end` >= `start`.

    `title` says what for, `staff` with whom; either may be ''. A title may hold a client's name:
    bookings are worked on and shown, never kept.
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

    @property
    def start(self) -> datetime:
        """Its first moment, by the salon's clock."""
        return datetime.combine(self.monday, time())

    @property
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


def taken(
    people: Mapping[int, str], bookings: Sequence[Booking]
) -> Mapping[tuple[str, date], Sequence[tuple[datetime, datetime]]]:
    """Say when people are booked.

    Parameters
    ----------
    people : Place of a booking in `bookings` -> whose it is; bookings of nobody known are absent.
    bookings : All bookings.

    Returns
    -------
    (person, day) -> spans of time, in the order of the bookings.
    """
    found: dict[tuple[str, date], list[tuple[datetime, datetime]]] = {}
    for place, person in people.items():
        one = bookings[place]
        for day in _days(one):
            found.setdefault((person, day), []).append((one.start, one.end))
    return found


def is_free(
    spans: Mapping[tuple[str, date], Sequence[tuple[datetime, datetime]]],
    person: str,
    booking: Booking,
) -> bool:
    """Tell whether a person has no other booking in the time of this one.

    Parameters
    ----------
    spans : As `taken` gives them.
    person : Who might do it.
    booking : What is to be done; one that ends when another starts does not meet it.

    Returns
    -------
    True when none of the person's spans overlaps.
    """
    return not any(
        start < booking.end and booking.start < end
        for day in _days(booking)
        for start, end in spans.get((person, day), ())
    )


def _days(booking: Booking) -> Iterator[date]:
    day = booking.start.date()
    while day <= booking.end.date():
        yield day
        day += timedelta(days=1)
