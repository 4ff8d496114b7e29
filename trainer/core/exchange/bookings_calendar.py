"""Bookings from a calendar file (RFC 5545): times, titles and staff, and nothing else of it."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, tzinfo
from operator import itemgetter
from typing import Any
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, vDuration

from trainer.core.bookings.booking import (
    LONGEST_STAFF,
    LONGEST_TITLE,
    WEEK,
    Booking,
    Diary,
    Week,
    reach,
    without_end,
)
from trainer.core.exchange.calendar_lines import Apart, Lines, Single, parts, taken_apart, text_of
from trainer.core.exchange.calendar_moments import Moments
from trainer.core.exchange.repeating import MOST_SERIES, is_past, may_work_out, occurrences
from trainer.core.exchange.time_zones import is_zone, own_zones, put_in_zones
from trainer.core.problems import InputProblem

WHERE = "calendar"
REMEDY = "Export the calendar again as an iCalendar file (its name ends in .ics)."
NAMES = ("X-WR-CALNAME", "NAME")
NO_PLACE = "UTC"
BEGINNING = "BEGIN:VCALENDAR"
BETWEEN = re.compile(rb"(?i)(?<=END:VCALENDAR)\s+(?=BEGIN:VCALENDAR)")
START = itemgetter(0)
"""Of an event that comes once."""
MOST_CALENDARS = 100  # in one file
DAY = timedelta(days=1)


class _Staff(dict[tuple[str, str], str]):
    """The lines RESOURCES and ORGANIZER -> with whom; where they name nobody, whose calendar it is.

    Each pair is read once.
    """

    def __init__(self, calendar_of: str) -> None:
        super().__init__()
        self.calendar_of = calendar_of

    def __missing__(self, lines: tuple[str, str]) -> str:
        resources, organiser = lines
        found = text_of(resources).strip()
        if not found and organiser:
            found = str(parts(organiser)[0].get("CN", "")).strip()
        self[lines] = found = (found or self.calendar_of)[:LONGEST_STAFF]
        return found


Said = tuple[str, str, str]
"""The lines DTSTART, DTEND and DURATION of a booking; '' where there is none."""


class _Hours(dict[Said, tuple[date, date]]):
    """When a booking is said to be -> its start and end by the salon's clock; days without hours.

    Each is read once, since people share their hours.
    """

    def __init__(self, moments: Moments) -> None:
        super().__init__()
        self._moments = moments

    def __missing__(self, said: Said) -> tuple[date, date]:
        """Read lines. Raises as Moments does, or TypeError for a day that lasts for hours."""
        first, last, length = said
        start = self._moments[first]
        end = self._moments[last] if last else start + _length(length)
        timed = isinstance(start, datetime) and isinstance(end, datetime)
        self[said] = found = (start, max(start, end)) if timed else (_day(start), _day(end))
        return found


@dataclass
class _Found:
    """What is found in one file: bookings of the week, when each booking of it starts, and notes.

    A series that is worked out is only in `bookings`. `whole_days`: so many entries without hours
    touch the week.
    """

    bookings: list[Booking] = field(default_factory=list)
    starts: list[datetime] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    whole_days: int = 0

    def take_whole_day(self, week: Week, first: date, after: date) -> None:
        """Count an entry without hours; `after` is the first day that is not in it (3.6.1)."""
        self.whole_days += first < week.monday + WEEK and max(after, first + DAY) > week.monday


def read_calendar(content: bytes, week: Week, zone: str = "") -> Diary:
    """Read the bookings of one week.

    Parameters
    ----------
    content : An iCalendar file; several calendars may stand in it one after the other.
    week : Which week.
    zone : The salon's time zone (IANA name); '' for the one that the calendar itself names.

    Returns
    -------
    Its bookings by start. Cancelled ones, whole days and other weeks are left out.

    Raises
    ------
    InputProblem : If it is no iCalendar file.
    """
    try:
        apart = _calendars(content)
    except UnicodeDecodeError:
        raise InputProblem("This is not text", WHERE, REMEDY) from None
    read = [_read(one, week, zone) for one in apart]
    bookings = sorted(booking for one in read for booking in one.bookings)
    notes = dict.fromkeys(note for one in read for note in one.notes)
    days = [one.reach for one in read if one.reach]
    first_and_last = (min(days)[0], max(last for _, last in days)) if days else None
    unsaid = without_end(sum(one.start == one.end for one in bookings))
    return Diary(bookings, (*notes, *unsaid), first_and_last)


def _calendars(content: bytes) -> list[Apart]:
    """Each calendar of a file alone: a house may keep one for everybody, with their name on it."""
    apart = taken_apart(content)
    if apart.rest.upper().count(BEGINNING) <= 1:  # as nearly always
        return [apart]
    found = BETWEEN.split(content, MOST_CALENDARS)
    if len(found) > MOST_CALENDARS:
        raise InputProblem(f"More than {MOST_CALENDARS} calendars", WHERE, "Give fewer at a time.")
    return [taken_apart(one) for one in found]


def _read(apart: Apart, week: Week, zone: str) -> Diary:
    head = _head(apart.rest)
    starts = _starts(apart)
    named = zone or _zone_of(head, starts)
    moments = Moments(ZoneInfo(named), own_zones(head))
    staff, found = _Staff(_name(head)), _Found()
    _read_single(apart.single, week, moments, staff, found)
    _read_series(apart.series, week, moments, staff, head, found)
    if found.whole_days:
        said = f"Entries of a whole day in this week, left out: {found.whole_days}"
        found.notes.append(f"{said}. Whoever is off then may still be named as free.")
    if moments.unknown:
        listed = ", ".join(sorted(moments.unknown))
        found.notes.append(f"Time zone not known, its times are read as they stand: {listed}.")
    if found.bookings and named == NO_PLACE and _has_utc(starts):
        told = "The calendar gives its times in UTC. Say which time zone the salon is in."
        found.notes.append(told)
    return Diary(found.bookings, found.notes, reach(found.starts))


def _head(text: str) -> Calendar:
    try:
        found = Calendar.from_ical(text)
    except (ValueError, IndexError, KeyError, TypeError):
        raise InputProblem("This is no calendar file", WHERE, REMEDY) from None
    if not isinstance(found, Calendar):
        raise InputProblem("This is no calendar file", WHERE, REMEDY)
    return found


def _starts(apart: Apart) -> Sequence[str]:
    """Every way in which an event of the file says its start, once."""
    lines = [*map(START, apart.single), *(one.get("DTSTART", "") for one in apart.series)]
    return list(filter(None, dict.fromkeys(lines)))


def _zone_of(head: Calendar, starts: Iterable[str]) -> str:
    named = [str(head.get("X-WR-TIMEZONE", ""))]
    named += [parts(line)[0].get("TZID", "") for line in starts if "TZID" in line.upper()]
    for name in dict.fromkeys(named):
        if name and is_zone(name):
            return name
    return NO_PLACE


def _has_utc(starts: Iterable[str]) -> bool:
    return any(line.rstrip().endswith("Z") for line in starts)


def _name(head: Calendar) -> str:
    return next((str(head[name]) for name in NAMES if name in head), "")


def _read_single(
    events: Sequence[Single], week: Week, moments: Moments, staff: _Staff, found: _Found
) -> None:
    hours, begins, ends, unread = _Hours(moments), week.start, week.end, 0
    for said_start, said_end, length, summary, status, resources, organiser in events:
        try:
            if status and _is_cancelled(text_of(status)):
                continue
            start, end = hours[said_start, said_end, length]
            if not isinstance(start, datetime) or not isinstance(end, datetime):
                found.take_whole_day(week, start, end)
                continue
            if begins <= start < ends:
                title, who = _title(text_of(summary)), staff[resources, organiser]
                found.bookings.append(Booking(start, end, title, who))
            found.starts.append(start)
        except (ValueError, KeyError, TypeError, OverflowError):
            unread += 1
    if unread:
        found.notes.append(f"Bookings that cannot be read, so check these yourself: {unread}.")


def _length(line: str) -> timedelta:
    found: timedelta = vDuration.from_ical(parts(line)[1]) if line else timedelta()
    return found


def _day(moment: date) -> date:
    return moment.date() if isinstance(moment, datetime) else moment


def _title(said: str) -> str:
    return " ".join(said.split())[:LONGEST_TITLE]


def _is_cancelled(status: str) -> bool:
    return status.strip().upper() == "CANCELLED"


def _read_series(
    series: Sequence[Lines],
    week: Week,
    moments: Moments,
    staff: _Staff,
    head: Calendar,
    found: _Found,
) -> None:
    live = [lines for lines in series if not is_past(lines, week)]
    if len(live) > MOST_SERIES:
        raise InputProblem(
            f"More than {MOST_SERIES} repeating bookings", WHERE, "Export one week alone."
        )
    events = [_event(lines, moments.own_zones) for lines in live]
    good = [one for one in events if one is not None and may_work_out(one, week)]
    refused = len(events) - len(good)
    try:
        worked_out = list(occurrences(head, good, week)) if good else []
        all_ = list(_bookings(moments, staff.calendar_of, worked_out, week, found))
    except Exception:  # the library may fail on a made-up series in any way it likes
        all_, refused = [], len(events)
    found.bookings += [one for one in all_ if week.holds(one.start)]
    if refused:
        found.notes.append(
            f"Repeating bookings that cannot be worked out, so check these yourself: {refused}."
        )


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


def _bookings(
    moments: Moments, calendar_of: str, events: Sequence[Event], week: Week, found: _Found
) -> Iterator[Booking]:
    for one in events:
        start, end = moments.local(one.start), moments.local(one.end)
        if _is_cancelled(str(one.get("STATUS", ""))):
            continue
        if isinstance(start, datetime) and isinstance(end, datetime):
            said = one.get("RESOURCES") or getattr(one.get("ORGANIZER"), "params", {}).get("CN", "")
            staff = (str(said) or calendar_of)[:LONGEST_STAFF]
            yield Booking(start, max(start, end), _title(str(one.get("SUMMARY", ""))), staff)
        else:
            found.take_whole_day(week, _day(start), _day(end))
