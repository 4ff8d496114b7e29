"""Bookings that repeat, within bounds: which series are worked out, and their days."""

import re
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

import recurring_ical_events
from icalendar import Calendar, Event

from trainer.core.bookings.booking import Week
from trainer.core.exchange.calendar_lines import Lines
from trainer.core.exchange.repeating_rules import names_days

MOST_SERIES = 200  # in one calendar
OLDEST = timedelta(days=10 * 366)  # since when a series may run
STAMP = re.compile(r":(\d{8})", re.ASCII)
UNTIL = re.compile(r"UNTIL=(\d{8})", re.ASCII)


def is_past(lines: Lines, week: Week) -> bool:
    """Tell whether a repeating booking says plainly that it has nothing to do with a week.

    A diary of years is full of such; they are neither worked out nor told.

    Parameters
    ----------
    lines : Those of one VEVENT.
    week : The week that is asked about; two days more are kept on both sides, for zones.

    Returns
    -------
    True for a series that ended before or begins after it, and for one moved booking of which
    neither the old nor the new day is near.
    """
    days = {name: STAMP.findall(lines.get(name, "")) for name in ("DTSTART", "RECURRENCE-ID")}
    if "RDATE" in lines or "RANGE=" in lines.get("RECURRENCE-ID", "").upper():
        return False
    first, last = (f"{week.monday + timedelta(days=one):%Y%m%d}" for one in (-2, 8))
    if "RECURRENCE-ID" in lines:
        return all(days.values()) and not any(
            first <= one <= last for found in days.values() for one in found
        )
    rules = lines.get("RRULE", "").upper().splitlines()
    ends = [UNTIL.search(rule) for rule in rules]
    over = bool(rules) and all(one is not None and one[1] < first for one in ends)
    return over or (bool(days["DTSTART"]) and min(days["DTSTART"]) > last)


def may_work_out(event: Event, week: Week) -> bool:
    """Tell whether the days of a repeating booking are worked out.

    Parameters
    ----------
    event : One VEVENT with RRULE, RDATE or RECURRENCE-ID.
    week : The week that is asked about.

    Returns
    -------
    False for a rule that `names_days` refuses, or a series older than `OLDEST`.
    """
    start = event.start
    began = start.date() if isinstance(start, datetime) else start
    if week.monday - began > OLDEST:
        return False
    rules = event.get("RRULE", [])
    return all(names_days(one, began) for one in (rules if isinstance(rules, list) else [rules]))


def occurrences(head: Calendar, events: Sequence[Event], week: Week) -> Iterator[Event]:
    """Work out the bookings of a week that come from repeating ones.

    Parameters
    ----------
    head : The calendar they came from, with its time zones, without its events.
    events : The repeating ones and those that replace one of them; each has passed `may_work_out`.
    week : The week asked about; a day more is looked at on both sides, for zones.

    Yields
    ------
    One event a booking, with its own start and end.
    """
    head.subcomponents.extend(events)
    day = timedelta(days=1)
    found = recurring_ical_events.of(head, skip_bad_series=True)
    yield from found.between(week.start - day, week.end + day)
