"""Bookings written out, as a calendar (RFC 5545) and as a table (RFC 4180)."""

from collections.abc import Sequence
from datetime import UTC
from hashlib import sha256

from icalendar import Calendar, Event

from trainer.core.bookings.booking import Booking
from trainer.core.exchange.csv_cells import csv_text, for_spreadsheets

PRODUCT = "-//Trainer//Bookings//EN"
HEADING = ("Date", "Start", "End", "Stylist", "Service", "Client")
Row = tuple[Booking, str]
"""A booking, and whom it is for."""


def as_calendar(rows: Sequence[Row]) -> bytes:
    """Write bookings as a calendar.

    Parameters
    ----------
    rows : Bookings and whom each is for, '' for nobody.

    Returns
    -------
    text/calendar in UTF-8. Times have no zone: the salon's own clock (3.3.5, form 1).
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    for number, (booking, client) in enumerate(rows):
        event = Event()
        named = f"{booking.start.isoformat()} {booking.staff} {number}"
        event.add("uid", sha256(named.encode()).hexdigest()[:32])
        event.add("dtstamp", booking.start.replace(tzinfo=UTC))
        event.add("dtstart", booking.start)
        event.add("dtend", booking.end)
        event.add("summary", f"{booking.title} - {client}" if client else booking.title)
        event.add("resources", booking.staff)
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def as_table(rows: Sequence[Row]) -> bytes:
    """Write bookings as a table.

    Parameters
    ----------
    rows : As for `as_calendar`.

    Returns
    -------
    CSV in UTF-8 with a mark that spreadsheets know it by.
    """
    cells = [
        (
            one.start.date().isoformat(),
            f"{one.start:%H:%M}",
            f"{one.end:%H:%M}",
            one.staff,
            one.title,
            client,
        )
        for one, client in rows
    ]
    return for_spreadsheets(csv_text(HEADING, cells))
