"""Bookings that repeat, within bounds: which recurrence rules we work out, and their days.

RFC 5545, 3.3.10 lets a few bytes name a booking each second for ever, or days that never come, on
which a reader looks through every day to the year 9999. So only the ways in which a salon repeats
a booking are read: each n days, weeks, months or years, on days that do come. All others are told.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

import recurring_ical_events
from icalendar import Calendar, Event

from trainer.core.bookings.booking import Week
from trainer.core.exchange.calendar_lines import Lines

MOST_SERIES = 200  # in one calendar
OLDEST = timedelta(days=10 * 366)  # since when a series may run
PARTS = {
    "DAILY": {"INTERVAL", "COUNT", "UNTIL", "WKST"},
    "WEEKLY": {"INTERVAL", "COUNT", "UNTIL", "WKST", "BYDAY"},
    "MONTHLY": {"INTERVAL", "COUNT", "UNTIL", "WKST", "BYDAY", "BYMONTHDAY"},
    "YEARLY": {"INTERVAL", "COUNT", "UNTIL", "WKST"},
}
MOST_APART = {"DAILY": 366, "WEEKLY": 53, "MONTHLY": 11, "YEARLY": 10}
"""Intervals; by 11 months at most, every day of a month comes again within a few steps."""
NTH = 4  # of a weekday in a month; a fifth one is not in every month, but never far
DAYS = 31
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
    False for a rule outside `PARTS`, one that could name no day, or a series older than `OLDEST`.
    """
    start = event.start
    began = start.date() if isinstance(start, datetime) else start
    if week.monday - began > OLDEST:
        return False
    rules = event.get("RRULE", [])
    return all(_is_plain(rule) for rule in (rules if isinstance(rules, list) else [rules]))


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


def _is_plain(rule: object) -> bool:
    if not isinstance(rule, Mapping):  # the library's word for one that it cannot read
        return False
    given = {name.upper(): value for name, value in rule.items()}
    kind = str(_one(given.pop("FREQ", "")))
    apart = _one(given.get("INTERVAL", 1))
    if kind not in PARTS or not given.keys() <= PARTS[kind]:
        return False
    if not isinstance(apart, int) or not 1 <= apart <= MOST_APART[kind]:
        return False
    if "BYDAY" in given and "BYMONTHDAY" in given:
        return False
    days = _all(given.get("BYMONTHDAY", []))
    return all(isinstance(one, int) and 1 <= abs(one) <= DAYS for one in days) and all(
        _is_weekday(one, kind) for one in _all(given.get("BYDAY", []))
    )


def _is_weekday(one: Any, kind: str) -> bool:
    nth = getattr(one, "relative", None)
    return nth is None or (kind == "MONTHLY" and 1 <= abs(int(nth)) <= NTH + 1)


def _one(value: Any) -> Any:
    return value[0] if isinstance(value, list) and value else value


def _all(value: Any) -> Sequence[Any]:
    return value if isinstance(value, list) else [value]
