"""Bookings from a calendar file (RFC 5545): times, titles and staff, and nothing else of it.

Lines are unfolded, split and decoded by the icalendar library. Only the lines in `READ` are ever
looked into: notes, guests, addresses and alarms of a booking pass by unread.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, vDDDTypes, vDuration
from icalendar.parser import Contentline, Contentlines, unescape_char

from trainer.core.bookings.booking import (
    LONGEST_STAFF,
    LONGEST_TITLE,
    Booking,
    Diary,
    Week,
)
from trainer.core.exchange.repeating import MOST_SERIES, may_work_out, occurrences
from trainer.core.problems import InputProblem

WHERE = "calendar"
REMEDY = "Export the calendar again as an iCalendar file (its name ends in .ics)."
TIMES = ("DTSTART", "DTEND", "DURATION")
WORDS = ("SUMMARY", "STATUS", "RESOURCES", "ORGANIZER")
SERIES = ("RRULE", "RDATE", "EXDATE", "RECURRENCE-ID", "UID", "SEQUENCE")
READ = frozenset((*TIMES, *WORDS, *SERIES))
REPEATS = frozenset(("RRULE", "RDATE", "RECURRENCE-ID"))
NAMES = ("X-WR-CALNAME", "NAME")
NO_PLACE = "UTC"
EVENT = "VEVENT"

Lines = Mapping[str, Sequence[str]]


@dataclass
class _Reader:
    """One file being read: what its times mean, and times that were read already."""

    zone: tzinfo
    head: Calendar
    staff: str
    unknown: set[str] = field(default_factory=set)
    _known: dict[str, date] = field(default_factory=dict)

    def moment(self, line: str) -> date:
        """The moment of a DTSTART or DTEND by the salon's clock; a plain date for whole days."""
        if line not in self._known:
            _, parameters, value = Contentline(line).raw_parts()
            named = parameters.get("TZID")
            self._known[line] = self.local(vDDDTypes.from_ical(value, timezone=named), named)
        return self._known[line]

    def local(self, moment: date, named: str | None = None) -> date:
        """A moment in any zone by the salon's clock. A zone that nobody knows reads as its own."""
        if not isinstance(moment, datetime):
            return moment
        if named and moment.tzinfo is None:
            self.unknown.add(named)
        return moment.astimezone(self.zone).replace(tzinfo=None) if moment.tzinfo else moment


def read_calendar(content: bytes, week: Week, zone: str = "") -> Diary:
    """Read the bookings of one week.

    Parameters
    ----------
    content : An iCalendar file in UTF-8.
    week : Which week.
    zone : The salon's time zone (IANA name); '' for the one that the calendar itself names.

    Returns
    -------
    Its bookings by start. Cancelled ones, whole days and other weeks are left out.

    Raises
    ------
    InputProblem : If it is no iCalendar file.
    """
    head, events = _taken_apart(content)
    named = zone or _zone_of(head, events)
    reader = _Reader(ZoneInfo(named), head, _name(head))
    found, notes = _plain(reader, [one for one in events if not REPEATS & one.keys()])
    series = [one for one in events if REPEATS & one.keys()]
    more, told = _repeated(reader, series, week)
    notes += told
    if reader.unknown:
        listed = ", ".join(sorted(reader.unknown))
        notes.append(f"Time zone not known, its times are read as they stand: {listed}.")
    inside = [one for one in (*found, *more) if week.holds(one.start)]
    if inside and named == NO_PLACE:
        notes.append("The calendar names no time zone, so times are read as they stand or as UTC.")
    days = [one.start.date() for one in found]
    inside.sort(key=lambda one: (one.start, one.end, one.staff, one.title))
    return Diary(inside, tuple(notes), (min(days), max(days)) if days else None)


def _taken_apart(content: bytes) -> tuple[Calendar, list[dict[str, list[str]]]]:
    """The calendar without its events, and of each event the lines that are read."""
    try:
        lines = Contentlines.from_ical(content.decode("utf-8-sig"))
    except (UnicodeDecodeError, ValueError):
        raise InputProblem("This is not text in UTF-8", WHERE, REMEDY) from None
    rest: list[str] = []
    events: list[dict[str, list[str]]] = []
    inside: list[str] = []
    for line in lines:
        name = _name_of(line)
        if name == "BEGIN":
            inside.append(line[6:].strip().upper())
            events += [{}] if inside[-1] == EVENT else []
        if EVENT not in inside:
            rest.append(line)
        elif name in READ and inside[-1] == EVENT:
            events[-1].setdefault(name, []).append(line)
        if name == "END":
            del inside[-1:]
    return _head("\r\n".join(rest)), events


def _head(text: str) -> Calendar:
    try:
        found = Calendar.from_ical(text)
    except (ValueError, IndexError, KeyError, TypeError):
        raise InputProblem("This is no calendar file", WHERE, REMEDY) from None
    if not isinstance(found, Calendar):
        raise InputProblem("This is no calendar file", WHERE, REMEDY)
    return found


def _name_of(line: str) -> str:
    end = len(line)
    for mark in ":;":
        place = line.find(mark)
        end = place if 0 <= place < end else end
    return line[:end].strip().upper()


def _zone_of(head: Calendar, events: Sequence[Lines]) -> str:
    named = [str(head.get("X-WR-TIMEZONE", ""))]
    for one in events:
        for line in one.get("DTSTART", ())[:1]:
            named.append(str(Contentline(line).raw_parts()[1].get("TZID", "")))
    for name in dict.fromkeys(named):
        if name and is_zone(name):
            return name
    return NO_PLACE


def is_zone(name: str) -> bool:
    """Tell whether a text names a time zone of the IANA database.

    Parameters
    ----------
    name : Such as Europe/London.

    Returns
    -------
    True when times can be worked out in it.
    """
    try:
        ZoneInfo(name)
    except (ValueError, OSError):
        return False
    return True


def _name(head: Calendar) -> str:
    found = next((str(head[name]) for name in NAMES if name in head), "")
    return found[:LONGEST_STAFF]


def _plain(reader: _Reader, events: Sequence[Lines]) -> tuple[list[Booking], list[str]]:
    found, whole_days, unread = [], 0, 0
    for lines in events:
        if _is_cancelled(_text(lines, "STATUS")):
            continue
        try:
            start, end = _span(reader, lines)
        except (ValueError, KeyError, TypeError, OverflowError):
            unread += 1
            continue
        if isinstance(start, datetime) and isinstance(end, datetime):
            title = _text(lines, "SUMMARY")
            found.append(_booking(start, end, title, _staff(lines) or reader.staff))
        else:
            whole_days += 1
    return found, _left_out(whole_days, unread)


def _left_out(whole_days: int, unread: int) -> list[str]:
    notes = []
    if whole_days:
        notes.append(f"{whole_days} entries of a whole day are no bookings and were left out.")
    if unread:
        notes.append(f"The time of {unread} bookings cannot be read: check these yourself.")
    return notes


def _span(reader: _Reader, lines: Lines) -> tuple[date, date]:
    start = reader.moment(lines["DTSTART"][0])
    if "DTEND" in lines:
        return start, reader.moment(lines["DTEND"][0])
    length = timedelta()
    if "DURATION" in lines:
        length = vDuration.from_ical(Contentline(lines["DURATION"][0]).raw_parts()[2])
    return start, start + length


def _booking(start: datetime, end: datetime, title: str, staff: str) -> Booking:
    words = " ".join(title.split())
    return Booking(start, max(start, end), words[:LONGEST_TITLE], staff[:LONGEST_STAFF])


def _text(lines: Lines, name: str) -> str:
    found = lines.get(name)
    if not found:
        return ""
    before, mark, plain = found[0].partition(":")
    if ";" in before:  # with parameters, where a colon may stand in quotes
        plain = Contentline(found[0]).raw_parts()[2]
    return str(unescape_char(plain)) if "\\" in plain else plain


def _staff(lines: Lines) -> str:
    said = _text(lines, "RESOURCES")
    if not said and "ORGANIZER" in lines:
        said = str(Contentline(lines["ORGANIZER"][0]).raw_parts()[1].get("CN", ""))
    return said.strip()


def _is_cancelled(status: str) -> bool:
    return status.strip().upper() == "CANCELLED"


def _repeated(
    reader: _Reader, series: Sequence[Lines], week: Week
) -> tuple[list[Booking], list[str]]:
    events = [_event(lines) for lines in series]
    good = [one for one in events if one is not None and may_work_out(one, week)]
    refused = len(events) - len(good)
    if len(good) > MOST_SERIES:
        raise InputProblem(
            f"More than {MOST_SERIES} repeating bookings", WHERE, "Export one week alone."
        )
    try:
        found = list(_from_series(reader, occurrences(reader.head, good, week))) if good else []
    except (ValueError, KeyError, TypeError, OverflowError):
        found, refused = [], len(events)
    notes = []
    if refused:
        notes.append(f"{refused} repeating bookings cannot be worked out: check these yourself.")
    return found, notes


def _event(lines: Lines) -> Event | None:
    """The event as the library reads it, from the lines that we read alone."""
    text = "\r\n".join(["BEGIN:VEVENT", *(one for all_ in lines.values() for one in all_)])
    try:
        found = Event.from_ical(f"{text}\r\nEND:VEVENT\r\n")
        _ = found.start
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        return None
    return found if isinstance(found, Event) else None


def _from_series(reader: _Reader, events: Iterator[Event]) -> Iterator[Booking]:
    for one in events:
        start, end = reader.local(one.start), reader.local(one.end)
        timed = isinstance(start, datetime) and isinstance(end, datetime)
        if timed and not _is_cancelled(str(one.get("STATUS", ""))):
            said = one.get("RESOURCES") or getattr(one.get("ORGANIZER"), "params", {}).get("CN", "")
            yield _booking(start, end, str(one.get("SUMMARY", "")), str(said) or reader.staff)
