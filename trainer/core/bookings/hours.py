"""Who is booked when: for each booking, whoever cannot step in."""

from bisect import bisect_left
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from itertools import accumulate

from trainer.core.bookings.booking import UNSAID, Booking


class Hours:
    """The hours of people, made ready to look up.

    Bookings stand by start, and beside each the latest end up to it: looking back from the last one
    that begins in time, the search is over where all before have ended.
    """

    def __init__(self, people: Mapping[int, str], bookings: Sequence[Booking]) -> None:
        """Take down who is booked when.

        Parameters
        ----------
        people : Place of a booking in `bookings` -> whose it is; those of nobody known are absent.
        bookings : All bookings by start.
        """
        places = sorted(people)
        self._starts = [bookings[place].start for place in places]
        self._ends = [_end(bookings[place]) for place in places]
        self._people = [people[place] for place in places]
        self._latest = list(accumulate(self._ends, max))

    def busy(self, booking: Booking) -> Collection[str]:
        """Say who is booked in the time of a booking.

        Parameters
        ----------
        booking : What is to be done; one that ends when another starts does not meet it.

        Returns
        -------
        Ids of people; whoever is booked for it as well.
        """
        found = set()
        for place in range(bisect_left(self._starts, _end(booking)) - 1, -1, -1):
            if self._latest[place] <= booking.start:
                break
            if self._ends[place] > booking.start:
                found.add(self._people[place])
        return found


def _end(booking: Booking) -> datetime:
    return booking.end if booking.end > booking.start else booking.start + UNSAID
