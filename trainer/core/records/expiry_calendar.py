"""The days on which records end, as a calendar file: RFC 5545, with names of RFC 7986.

No scores and no names of people: a calendar is copied to machines that nobody here knows of.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from icalendar import Alarm, Calendar, Event, vDuration, vText

PRODUCT = "-//Trainer//Record endings//EN"
DAY = timedelta(days=1)
AHEAD = timedelta(days=30)


@dataclass(frozen=True)
class EndingDay:
    """One all-day event. `uid` never changes; `sequence` and `changed` rise with every change.

    `changed`: when it last changed, UTC. `cancelled`: the record no longer counts.
    """

    uid: str
    summary: str
    note: str
    address: str
    on: date
    sequence: int
    changed: datetime
    cancelled: bool = False


def compose_calendar(name: str, endings: Sequence[EndingDay]) -> bytes:
    """Write a calendar.

    Parameters
    ----------
    name : What the calendar is called.
    endings : Its events; any order.

    Returns
    -------
    text/calendar in UTF-8, lines folded at 75 octets and ended by CRLF. The same endings give the
    same bytes: DTSTAMP is when the event last changed (3.8.7.2, where there is no METHOD).
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    for named in ("name", "x-wr-calname"):  # the library knows neither, so it would not escape
        calendar.add(named, vText(name))
    calendar.add("refresh-interval", vDuration(DAY), parameters={"VALUE": "DURATION"})
    for one in sorted(endings, key=lambda ending: (ending.on, ending.uid)):
        calendar.add_component(_event(one))
    return bytes(calendar.to_ical())


def _event(one: EndingDay) -> Event:
    event = Event()
    event.add("uid", one.uid)
    event.add("dtstamp", one.changed)
    event.add("last-modified", one.changed)
    event.add("sequence", one.sequence)
    event.add("dtstart", one.on)
    event.add("dtend", one.on + DAY)
    event.add("summary", one.summary)
    event.add("description", one.note)
    event.add("url", one.address)
    event.add("transp", "TRANSPARENT")
    event.add("status", "CANCELLED" if one.cancelled else "CONFIRMED")
    if not one.cancelled:
        event.add_component(_alarm(one.summary))
    return event


def _alarm(words: str) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", words)
    alarm.add("trigger", -AHEAD)
    return alarm
