"""Weeks of bookings for tests, as a salon's diary would give them."""

from trainer.core.bookings.booking import week_of
from trainer.core.exchange.bookings_table import read_table

HEADING = "Date,Start,End,Stylist,Service,Client\n"


def row(day, start, staff, service, client="Client Of Ours", end=None):
    """One line; `day` counts from Monday 2 March 2026."""
    hour = int(start[:2])
    return f"2026-03-{2 + day:02},{start},{end or f'{hour + 1:02}:00'},{staff},{service},{client}\n"


def table(*rows):
    return (HEADING + "".join(rows)).encode()


def diary(*rows, day):
    """The same rows as the core reads them."""
    return read_table(table(*rows), week_of(day))
