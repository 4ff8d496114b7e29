"""Bookings from a calendar file (RFC 5545): times, titles and staff, and nothing else of it.

Only the lines in `READ` are ever looked into: notes, guests, addresses and alarms of a booking pass
by unread. What is written as nearly everybody writes it is read directly, since a salon waits for a
thousand bookings; all else goes to the icalendar library, and both read alike.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta, tzinfo
from typing import Any
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, vDDDTypes, vDuration
from icalendar.parser import Contentline, unescape_backslash
from icalendar.timezone import tzp

from trainer.core.bookings.booking import (
    LONGEST_STAFF,
    LONGEST_TITLE,
    Booking,
    Diary,
    Week,
    in_order,
)
from trainer.core.exchange.repeating import MOST_SERIES, may_work_out, occurrences
from trainer.core.exchange.time_zones import is_zone, own_zones, put_in_zones
from trainer.core.problems import InputProblem

WHERE = "calendar"
REMEDY = "Export the calendar again as an iCalendar file (its name ends in .ics)."
TIMES = ("DTSTART", "DTEND", "DURATION")
WORDS = ("SUMMARY", "STATUS", "RESOURCES", "ORGANIZER")
SERIES = ("RRULE", "RDATE", "EXDATE", "RECURRENCE-ID", "UID", "SEQUENCE")
READ = frozenset((*TIMES, *WORDS, *SERIES))
REPEATS = frozenset(("RRULE", "RDATE", "RECURRENCE-ID"))
NAMES = ("X-WR-CALNAME", "NAME")
BOUNDS = {"BEGIN": 1, "END": -1}
SINGLE = (*TIMES, *WORDS)
_CAUGHT = "|".join(f"(?({n})(?!)|({name}[;:].*))" for n, name in enumerate(SINGLE, 1))
_ELSE = "|".join((*BOUNDS, *SINGLE, *sorted(REPEATS)))
EVENT = re.compile(rf"\nBEGIN:VEVENT\n(?:(?:{_CAUGHT}|(?!(?i:{_ELSE})).*)\n)*END:VEVENT(?=\n)")
"""How nearly every event is written that comes once and has no alarm.

Each line fits one way, each name once; all else is read line by line."""
PLAIN = re.compile(
    r"DT(?:START|END)(?:;TZID=([^;:\"]+))?:(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)(Z?)", re.ASCII
)
"""How nearly every moment is written; the library reads all others, and these alike."""
NO_PLACE = "UTC"

Lines = Mapping[str, str]
"""Name -> its line; of those in `SERIES`, all its lines."""
Single = tuple[str | None, ...]
"""The lines of an event that comes once, as in `SINGLE`."""


class _Names(dict[str, str]):
    """What stands before a line's colon -> the name, '' where such lines are not read."""

    def __missing__(self, begin: str) -> str:
        name = begin.partition(";")[0].upper()
        self[begin] = found = name if name in READ or name in BOUNDS else ""
        return found


@dataclass
class _Reader:
    """One file being read: what its times mean, and times that were read already."""

    zone: tzinfo
    head: Calendar
    staff: str
    own_zones: Mapping[str, tzinfo]
    unknown: set[str] = field(default_factory=set)
    _known: dict[str, date] = field(default_factory=dict)
    _organisers: dict[str, str] = field(default_factory=dict)

    def moment(self, line: str) -> date:
        """The moment of a DTSTART or DTEND by the salon's clock; a plain date for whole days."""
        if line not in self._known:
            plain = PLAIN.fullmatch(line)
            self._known[line] = self._plain(*plain.groups()) if plain else self._by_library(line)
        return self._known[line]

    def _plain(self, named: str | None, *numbers: str) -> date:
        moment = datetime(*(int(one) for one in numbers[:6]))  # type: ignore[arg-type]  # noqa: DTZ001
        zone = UTC if numbers[6] else self.zone_named(named) if named else None
        return self.local(moment.replace(tzinfo=zone), named or "")

    def zone_named(self, named: str) -> tzinfo | None:
        """A zone by the name that the calendar gives it; None where nobody knows it."""
        return self.own_zones.get(named) or tzp.timezone(named)

    def _by_library(self, line: str) -> date:
        parameters, value = _parts(line)
        named = parameters.get("TZID", "")
        found: Any = vDDDTypes.from_ical(value, timezone=named or None)
        if isinstance(found, datetime) and named in self.own_zones:
            found = found.replace(tzinfo=self.own_zones[named])
        return self.local(found, named)

    def local(self, moment: date, named: str = "") -> date:
        """A moment in any zone by the salon's clock. A zone that nobody knows reads as its own."""
        if not isinstance(moment, datetime):
            return moment
        if named and moment.tzinfo is None:
            self.unknown.add(named)
        return moment.astimezone(self.zone).replace(tzinfo=None) if moment.tzinfo else moment

    def organiser(self, line: str | None) -> str:
        """Whom an event's ORGANIZER names; else the one whose calendar this is."""
        if line is None:
            return self.staff
        if line not in self._organisers:
            self._organisers[line] = str(_parts(line)[0].get("CN", "")).strip()
        return self._organisers[line] or self.staff


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
    head, single, series = _taken_apart(content)
    starts = dict.fromkeys([*(one[0] for one in single), *(one.get("DTSTART") for one in series)])
    named = zone or _zone_of(head, filter(None, starts))
    reader = _Reader(ZoneInfo(named), head, _name(head), own_zones(head))
    found, notes = _plain(reader, single)
    more, told = _repeated(reader, series, week)
    notes += told
    if reader.unknown:
        listed = ", ".join(sorted(reader.unknown))
        notes.append(f"Time zone not known, its times are read as they stand: {listed}.")
    inside = [one for one in (*found, *more) if week.start <= one.start < week.end]
    if inside and named == NO_PLACE and _has_utc(filter(None, starts)):
        notes.append("The calendar gives its times in UTC. Say which time zone the salon is in.")
    days = [one.start.date() for one in found]
    inside.sort(key=in_order)
    return Diary(inside, tuple(notes), (min(days), max(days)) if days else None)


def _taken_apart(content: bytes) -> tuple[Calendar, list[Single], list[Lines]]:
    """The calendar without its events; of each event the lines that are read."""
    try:
        text = content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise InputProblem("This is not text in UTF-8", WHERE, REMEDY) from None
    unfolded = text.replace("\n ", "").replace("\n\t", "")  # RFC 5545, 3.1
    pieces = EVENT.split(unfolded)
    step = len(SINGLE) + 1
    single = list(zip(*(pieces[place::step] for place in range(1, step)), strict=True))
    others = filter(None, pieces[::step])
    rest, events = _line_by_line("\nEND:VEVENT".join(others))  # one left open ends at the next
    single += [tuple(map(one.get, SINGLE)) for one in events if REPEATS.isdisjoint(one)]
    return _head("\n".join(rest)), single, [one for one in events if not REPEATS.isdisjoint(one)]


def _line_by_line(text: str) -> tuple[list[str], list[dict[str, str]]]:
    """Lines outside of events, and those of each event that are read; not those of its alarms."""
    rest: list[str] = []
    events: list[dict[str, str]] = []
    event: dict[str, str] | None = None
    inside, names = 0, _Names()
    for line in text.split("\n"):
        begin, mark, value = line.partition(":")
        name = names[begin] if mark else ""
        if name in BOUNDS and value.strip().upper() == "VEVENT":
            event, inside = _turned(events, name), 0
        elif event is None:
            rest.append(line)
        elif name in BOUNDS:
            inside += BOUNDS[name]
        elif name and not inside and name not in event:
            event[name] = line
        elif name in SERIES and not inside:
            event[name] += f"\n{line}"
    return rest, events


def _turned(events: list[dict[str, str]], name: str) -> dict[str, str] | None:
    """A new event where one begins; none where it ends."""
    if name == "END":
        return None
    events.append({})
    return events[-1]


def _parts(line: str, plain: bool = False) -> tuple[Mapping[str, Any], Any]:
    """Parameters and value of one line; `plain`: with the escapes of a text undone."""
    read: Any = Contentline(line)
    _, parameters, value = read.parts() if plain else read.raw_parts()
    return parameters, value


def _head(text: str) -> Calendar:
    try:
        found = Calendar.from_ical(text)
    except (ValueError, IndexError, KeyError, TypeError):
        raise InputProblem("This is no calendar file", WHERE, REMEDY) from None
    if not isinstance(found, Calendar):
        raise InputProblem("This is no calendar file", WHERE, REMEDY)
    return found


def _zone_of(head: Calendar, starts: Iterable[str]) -> str:
    named = [str(head.get("X-WR-TIMEZONE", ""))]
    named += [_parts(line)[0].get("TZID", "") for line in starts if "TZID" in line.upper()]
    for name in dict.fromkeys(named):
        if name and is_zone(name):
            return name
    return NO_PLACE


def _has_utc(starts: Iterable[str]) -> bool:
    return any(line.rstrip().endswith("Z") for line in starts)


def _name(head: Calendar) -> str:
    found = next((str(head[name]) for name in NAMES if name in head), "")
    return found[:LONGEST_STAFF]


def _plain(reader: _Reader, events: Sequence[Single]) -> tuple[list[Booking], list[str]]:
    found, whole_days, unread = [], 0, 0
    for starts, ends, length, summary, status, resources, organiser in events:
        try:
            if status and _is_cancelled(_text(status)):
                continue
            start, end = _span(reader, starts, ends, length)
            title = _text(summary)
            staff = _text(resources).strip() or reader.organiser(organiser)
        except (ValueError, KeyError, TypeError, OverflowError):
            unread += 1
            continue
        if isinstance(start, datetime) and isinstance(end, datetime):
            found.append(_booking(start, end, title, staff))
        else:
            whole_days += 1
    return found, _left_out(whole_days, unread)


def _left_out(whole_days: int, unread: int) -> list[str]:
    notes = []
    if whole_days:
        notes.append(f"Entries of a whole day, left out: {whole_days}.")
    if unread:
        notes.append(f"Bookings that cannot be read, so check these yourself: {unread}.")
    return notes


def _span(
    reader: _Reader, starts: str | None, ends: str | None, length: str | None
) -> tuple[date, date]:
    if starts is None:
        raise ValueError
    start = reader.moment(starts)
    if ends is not None:
        return start, reader.moment(ends)
    return start, start + (vDuration.from_ical(_parts(length)[1]) if length else timedelta())


def _booking(start: datetime, end: datetime, title: str, staff: str) -> Booking:
    words = " ".join(title.split())
    return Booking(start, max(start, end), words[:LONGEST_TITLE], staff[:LONGEST_STAFF])


def _text(line: str | None) -> str:
    if line is None:
        return ""
    name, _, value = line.partition(":")
    if ";" in name:  # parameters, where a colon may stand in quotes
        return str(_parts(line, plain=True)[1])
    return unescape_backslash(value) if "\\" in value else value


def _is_cancelled(status: str) -> bool:
    return status.strip().upper() == "CANCELLED"


def _repeated(
    reader: _Reader, series: Sequence[Lines], week: Week
) -> tuple[list[Booking], list[str]]:
    events = [_event(lines, reader.own_zones) for lines in series]
    good = [one for one in events if one is not None and may_work_out(one, week)]
    refused = len(events) - len(good)
    if len(good) > MOST_SERIES:
        raise InputProblem(
            f"More than {MOST_SERIES} repeating bookings", WHERE, "Export one week alone."
        )
    try:
        found = list(_from_series(reader, occurrences(reader.head, good, week))) if good else []
    except Exception:  # the library may fail on a made-up series in any way it likes
        found, refused = [], len(events)
    notes = []
    if refused:
        notes.append(
            f"Repeating bookings that cannot be worked out, so check these yourself: {refused}."
        )
    return found, notes


def _event(lines: Lines, zones: Mapping[str, tzinfo]) -> Event | None:
    """The event as the library reads it, from the lines that we read alone."""
    text = "\n".join(["BEGIN:VEVENT", *lines.values(), "END:VEVENT\n"]).replace("\n", "\r\n")
    try:
        found: Any = Event.from_ical(text)
        put_in_zones(found, zones)
        _ = found.start
    except Exception:  # the same
        return None
    return found if isinstance(found, Event) else None


def _from_series(reader: _Reader, events: Iterator[Event]) -> Iterator[Booking]:
    for one in events:
        start, end = reader.local(one.start), reader.local(one.end)
        if _is_cancelled(str(one.get("STATUS", ""))):
            continue
        if isinstance(start, datetime) and isinstance(end, datetime):
            said = one.get("RESOURCES") or getattr(one.get("ORGANIZER"), "params", {}).get("CN", "")
            yield _booking(start, end, str(one.get("SUMMARY", "")), str(said) or reader.staff)
