"""Which recurrence rules (RFC 5545, 3.3.10) are worked out: those whose days surely come.

The standard lets a few bytes name a booking each second for ever, or days that never come, on which
a reader looks through every day to the year 9999. So rules are read that go by days, weeks, months
and years, and of these whatever is seen to name a day again and again. All others are told.
"""

from calendar import monthrange
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

BOUNDS = {"INTERVAL", "COUNT", "UNTIL", "WKST"}
MONTHLY = {"BYMONTH", "BYMONTHDAY", "BYDAY", "BYSETPOS"}
PARTS = {
    "DAILY": {"BYMONTH", "BYDAY"},
    "WEEKLY": {"BYMONTH", "BYDAY"},
    "MONTHLY": MONTHLY,
    "YEARLY": {*MONTHLY, "BYYEARDAY", "BYWEEKNO"},
}
"""What a rule may say beside its `BOUNDS`."""
MOST_APART = {"DAILY": 366, "WEEKLY": 53, "MONTHLY": 24, "YEARLY": 10}
"""Intervals."""
YEAR = 12  # months
PLAIN_YEAR = 2001  # any that is no leap year
LONGEST_MONTH = 31
SURE_DAYS = 28  # in every month
SURE_NTH = 4  # of a weekday, in every month
MOST_NTH = 5  # in some months
SURE_WEEKS = 52  # in every year
SURE_YEAR_DAYS = 365


@dataclass(frozen=True)
class _Rule:
    """One rule. `weekdays`: (weekday, which of them or None for all)."""

    kind: str
    apart: int
    months: Sequence[int]
    days: Sequence[int]
    weekdays: Sequence[tuple[str, int | None]]
    positions: Sequence[int]
    year_days: Sequence[int]
    weeks: Sequence[int]


def names_days(rule: object, began: date) -> bool:
    """Tell whether a rule is one whose days are worked out.

    Parameters
    ----------
    rule : An RRULE as icalendar reads it.
    began : The first day of its series, which says what the rule leaves out.

    Returns
    -------
    False for a rule outside `PARTS`, for what is no rule, and for one of which it is not plain that
    it names a day again and again.
    """
    if not isinstance(rule, Mapping):  # the library's word for one that it cannot read
        return False
    given = {name.upper(): _all(value) for name, value in rule.items()}
    kind = str(given.pop("FREQ", [""])[0])
    if kind not in PARTS or not given.keys() <= PARTS[kind] | BOUNDS:
        return False
    numbers = ("BYMONTH", "BYMONTHDAY", "BYSETPOS", "BYYEARDAY", "BYWEEKNO", "INTERVAL")
    if not all(_is_number(one) for name in numbers for one in given.get(name, ())):
        return False
    read = _read(kind, given, began)
    return (
        1 <= read.apart <= MOST_APART[kind]
        and _months_come(read, began)
        and _days_come(read)
        and _weekdays_come(read)
        and all(1 <= abs(one) <= _least(read) for one in read.positions)
        and _parts_of_years_come(read)
    )


def _read(kind: str, given: Mapping[str, Sequence[Any]], began: date) -> _Rule:
    months, days, byday, positions, year_days, weeks = (
        given.get(name, ())
        for name in ("BYMONTH", "BYMONTHDAY", "BYDAY", "BYSETPOS", "BYYEARDAY", "BYWEEKNO")
    )
    if kind in ("MONTHLY", "YEARLY") and months and not (days or byday or year_days or weeks):
        days = (began.day,)
    weekdays = [(str(one)[-2:], getattr(one, "relative", None)) for one in byday]
    apart = given.get("INTERVAL", (1,))[0]
    return _Rule(kind, apart, months, days, weekdays, positions, year_days, weeks)


def _months_come(rule: _Rule, began: date) -> bool:
    """Years hold every month; months, weeks and days reach each of them if none is passed over."""
    if not all(1 <= one <= YEAR for one in rule.months):
        return False
    if rule.kind == "MONTHLY" and rule.apart % YEAR == 0:  # one month for ever
        return set(rule.months) <= {began.month} and all(abs(one) <= SURE_DAYS for one in rule.days)
    return not rule.months or rule.kind == "YEARLY" or rule.apart == 1


def _days_come(rule: _Rule) -> bool:
    """A day of the month that some month of the rule has in every year."""
    longest = max((monthrange(PLAIN_YEAR, one)[1] for one in rule.months), default=LONGEST_MONTH)
    return all(1 <= abs(one) <= LONGEST_MONTH for one in rule.days) and (
        not rule.days or min(map(abs, rule.days)) <= longest
    )


def _weekdays_come(rule: _Rule) -> bool:
    """All of some weekdays, or the nth there is; of both at once dateutil takes what is in both."""
    nths = {nth for _, nth in rule.weekdays}
    if nths <= {None}:
        passes_over = rule.kind == "DAILY" and rule.apart != 1
        return not nths or not (rule.year_days or passes_over)
    if rule.days or rule.weeks or rule.year_days or rule.kind not in ("MONTHLY", "YEARLY"):
        return False
    of_year = rule.kind == "YEARLY" and not rule.months
    of_some_month = MOST_NTH if rule.apart % YEAR and not rule.months else SURE_NTH
    most = SURE_WEEKS if of_year else of_some_month
    return all(nth is not None and 1 <= abs(int(nth)) <= most for nth in nths)


def _least(rule: _Rule) -> int:
    """So many days at the least are in each set that BYSETPOS picks from, if any are."""
    if rule.weekdays:
        plain = not rule.days and all(nth is None for _, nth in rule.weekdays)
        return SURE_NTH * len({day for day, _ in rule.weekdays}) if plain else 1
    sure = {one for one in rule.days if abs(one) <= SURE_DAYS}
    after = sum(one > 0 for one in sure)
    return max(after, len(sure) - after)  # from the start and from the end may be the same day


def _parts_of_years_come(rule: _Rule) -> bool:
    """Days of a year stand alone; weeks of a year with their weekdays, else dateutil takes all."""
    others = (rule.months, rule.days, rule.positions)
    if (rule.year_days or rule.weeks) and any(others):
        return False
    if rule.weeks and (rule.year_days or not rule.weekdays):
        return False
    return all(1 <= abs(one) <= SURE_YEAR_DAYS for one in rule.year_days) and all(
        1 <= abs(one) <= SURE_WEEKS for one in rule.weeks
    )


def _is_number(one: object) -> bool:
    return isinstance(one, int) and not getattr(one, "leap", False)  # a month of RFC 7529


def _all(value: Any) -> Sequence[Any]:
    return value if isinstance(value, list) else [value]
