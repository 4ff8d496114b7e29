"""A made-up week of bookings for a salon's own team: no client in it ever was.

It shows what a file may look like, and gives the check something to find.
"""

from collections.abc import Sequence
from datetime import timedelta

from trainer.core.bookings.booking import Booking, Week
from trainer.core.exchange.bookings_out import as_calendar, as_table
from trainer.store.unit import Unit
from trainer.use_cases.name_team import staff
from trainer.use_cases.refusals import NotFound

MADE_UP = "Stylist"
FIRST = (
    *("Wren", "Tamsin", "Juno", "Odile", "Petra", "Isolde"),
    *("Nell", "Ottilie", "Marigold", "Sunniva", "Fenna", "Bryony"),
)
LAST = (
    *("Aldous", "Oakes", "Farrier", "Marsh", "Quayle", "Birch"),
    *("Saffron", "Reed", "Finch", "Thorne", "Larkin"),
)
"""Twelve and eleven: no client comes twice in a week."""
WORK = (
    ("Tapes full head", 120),
    ("Tapes removal", 45),
    ("New keratin bonds", 180),
    ("Bond removal", 90),
    ("Beaded row move-up", 90),
    ("Micro links refit", 75),
    ("Weft consultation", 30),
    ("Cut and colour", 90),
)
OPENS = (9, 11, 14)
"""Hours at which a booking may start; the last one ends before six."""
DAYS = 6
MOST_STAFF = 7


def example(unit: Unit, week: Week, kind: str) -> bytes:
    """The file, as iCalendar ('ics') or as a table ('csv'). Raises NotFound for another kind."""
    names = [name for _, name in staff(unit)][:MOST_STAFF] or [MADE_UP]
    rows = list(_bookings(week, names))
    if kind == "ics":
        return as_calendar(rows)
    if kind == "csv":
        return as_table(rows)
    raise NotFound


def _bookings(week: Week, names: Sequence[str]) -> Sequence[tuple[Booking, str]]:
    """Each booking with its client's made-up name; the same every week."""
    found: list[tuple[Booking, str]] = []
    for place, name in enumerate(names):
        for day in range(DAYS):
            for slot, hour in enumerate(OPENS):
                if (place + day + slot) % len(WORK) == 0:  # a free hour: somebody can step in
                    continue
                number = len(found)
                title, minutes = WORK[(number + place) % len(WORK)]
                start = week.start + timedelta(days=day, hours=hour)
                booking = Booking(start, start + timedelta(minutes=minutes), title, name)
                client = f"{FIRST[number % len(FIRST)]} {LAST[number % len(LAST)]}"
                found.append((booking, client))
    return found
