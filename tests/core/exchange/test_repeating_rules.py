"""Recurrence rules: the standard's own examples; none is taken whose days never come."""

from calendar import day_abbr
from datetime import date, datetime, timedelta

import pytest
from dateutil.rrule import rrulestr
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from icalendar import vRecur

from trainer.core.bookings.booking import week_of
from trainer.core.exchange.bookings_calendar import read_calendar
from trainer.core.exchange.repeating_rules import names_days

WEEKDAYS = [one[:2].upper() for one in day_abbr]
RFC_5545 = [
    # RFC 5545, 3.8.5.3: the rule, and the days that follow from it, as the standard lists them.
    ("FREQ=YEARLY;UNTIL=20000131T140000Z;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR,SA", "1998 0101-0131"),
    ("FREQ=DAILY;UNTIL=20000131T140000Z;BYMONTH=1", "1998 0101-0131 1999 0101-0131"),
    ("FREQ=MONTHLY;COUNT=10;BYDAY=1FR", "1997 0905 1003 1107 1205 1998 0102 0206 0306 0403 0501"),
    ("FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU", "1997 0907 0928 1102 1130 1998 0104 0125"),
    ("FREQ=MONTHLY;COUNT=6;BYDAY=-2MO", "1997 0922 1020 1117 1222 1998 0119 0216"),
    ("FREQ=MONTHLY;BYMONTHDAY=-3", "1997 0928 1029 1128 1229 1998 0129 0226"),
    ("FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1", "1997 0930 1001 1031 1101 1130 1201 1231"),
    ("FREQ=MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15", "1997 0910-0915 1999 0310"),
    ("FREQ=MONTHLY;INTERVAL=2;BYDAY=TU", "1997 0902 0909 0916 0923 0930 1104 1111 1118 1125"),
    ("FREQ=YEARLY;COUNT=10;BYMONTH=6,7", "1997 0610 0710 1998 0610 0710 1999 0610 0710"),
    ("FREQ=YEARLY;INTERVAL=2;COUNT=10;BYMONTH=1,2,3", "1997 0310 1999 0110 0210 0310 2001 0110"),
    (
        "FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200",
        "1997 0101 0410 0719 2000 0101 0409 0718 2003 0101 0410 0719 2006 0101",
    ),
    ("FREQ=YEARLY;BYDAY=20MO", "1997 0519 1998 0518 1999 0517"),
    ("FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO", "1997 0512 1998 0511 1999 0517"),
    ("FREQ=YEARLY;BYMONTH=3;BYDAY=TH", "1997 0313 0320 0327 1998 0305 0312 0319 0326 1999 0304"),
    ("FREQ=YEARLY;BYDAY=TH;BYMONTH=6,7,8", "1997 0605 0612 0619 0626 0703 0710 0717 0724 0731"),
    ("FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13", "1997 0913 1011 1108 1213 1998 0110"),
    (
        "FREQ=YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8",
        "1996 1105 2000 1107 2004 1102",
    ),
    ("FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3", "1997 0904 1007 1106"),
    ("FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2", "1997 0929 1030 1127 1230 1998 0129 0226"),
    ("FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO", "1997 0805 0810 0819 0824"),
    ("FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU", "1997 0805 0817 0819 0831"),
]


def days_of(listed):
    """'1997 0902 0910-0912' -> the days."""
    year, found = "", []
    for word in listed.split():
        if len(word) == len("1997") and word > "1231":
            year = word
            continue
        first, _, last = word.partition("-")
        day, end = (date.fromisoformat(year + one) for one in (first, last or first))
        found += [day + timedelta(n) for n in range((end - day).days + 1)]
    return found


def days_in_weeks(event, days):
    """What is read in the weeks of some days and the weeks after, up to the last of the days."""
    mondays = {week_of(day + timedelta(more)).monday for day in days for more in (0, 7)}
    text = f"BEGIN:VCALENDAR\nBEGIN:VEVENT\nUID:1\n{event}\nEND:VEVENT\nEND:VCALENDAR".encode()
    read = [read_calendar(text, week_of(one), "America/New_York") for one in sorted(mondays)]
    assert not any("worked out" in note for one in read for note in one.notes)
    found = [one for diary in read for one in diary.bookings]
    assert all(one.start.hour == 9 for one in found)
    return [one.start.date() for one in found if one.start.date() <= days[-1]]


@pytest.mark.parametrize(("rule", "listed"), RFC_5545)
def test_the_standard_s_examples_come_on_their_days(rule, listed):
    days = days_of(listed)
    event = f"DTSTART;TZID=America/New_York:{days[0]:%Y%m%d}T090000\nRRULE:{rule}"
    assert days_in_weeks(event, days) == days


def test_working_days_only():
    """As many programs write 'every weekday'; 3.3.10: BYDAY limits a daily rule."""
    event = "DTSTART;TZID=America/New_York:19970905T090000\nRRULE:FREQ=DAILY;BYDAY=MO,TU,WE,TH,FR"
    days = days_of("1997 0905 0908-0912 0915")
    assert days_in_weeks(event, days) == days


def test_every_friday_the_thirteenth():
    """RFC 5545, 3.8.5.3: the first day of this series is left out by an exception."""
    start = "TZID=America/New_York:19970902T090000"
    event = f"DTSTART;{start}\nEXDATE;{start}\nRRULE:FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13"
    days = days_of("1998 0213 0313 1113 1999 0813 2000 1013")
    assert days_in_weeks(event, days) == days


@pytest.mark.parametrize(
    ("rule", "start"),
    [
        ("FREQ=YEARLY;BYMONTH=2", "20260130"),
        ("FREQ=YEARLY;INTERVAL=2;BYMONTH=2;BYMONTHDAY=29", "20250101"),
        ("FREQ=YEARLY;INTERVAL=2;BYMONTH=2;BYDAY=5MO", "20250101"),
        ("FREQ=YEARLY;BYDAY=53MO", "20260101"),
        ("FREQ=YEARLY;BYYEARDAY=366;INTERVAL=2", "20250101"),
        ("FREQ=YEARLY;BYWEEKNO=53;BYDAY=MO", "20260101"),
        ("FREQ=YEARLY;BYWEEKNO=20", "20260101"),
        ("FREQ=YEARLY;BYMONTH=1;BYDAY=MO;BYSETPOS=6", "20260101"),
        ("FREQ=MONTHLY;INTERVAL=2;BYMONTH=2", "20260101"),
        ("FREQ=MONTHLY;INTERVAL=24;BYMONTHDAY=29", "20250201"),
        ("FREQ=MONTHLY;BYDAY=1MO,-5MO;BYSETPOS=2", "20260101"),
        ("FREQ=MONTHLY;BYMONTHDAY=1,-31;BYSETPOS=2", "20260101"),
        ("FREQ=MONTHLY;BYDAY=1MO;BYMONTHDAY=15", "20260101"),
        ("FREQ=DAILY;BYMONTH=13", "20260101"),
        ("FREQ=YEARLY;BYMONTH=5L", "20260101"),
        ("FREQ=MONTHLY;BYSETPOS=1", "20260101"),
        ("FREQ=MONTHLY;BYDAY=MO,-5TU", "20260101"),
    ],
)
def test_what_may_never_come_or_reads_in_two_ways_is_told(rule, start):
    assert not names_days(vRecur.from_ical(rule), date.fromisoformat(start))


def numbers(most, least=1):
    return st.lists(st.integers(-most, most).filter(lambda one: abs(one) >= least), max_size=3)


RULES = st.fixed_dictionaries(
    {"FREQ": st.sampled_from(["DAILY", "WEEKLY", "MONTHLY", "YEARLY"])},
    optional={
        "INTERVAL": st.sampled_from([1, 2, 3, 4, 6, 7, 10, 12, 18, 24]),
        "BYMONTH": st.lists(st.integers(1, 12), max_size=2),
        "BYMONTHDAY": numbers(31),
        "BYDAY": st.lists(
            st.tuples(st.sampled_from(["", *map(str, (-53, -5, -4, -1, 1, 2, 5, 52))])).flatmap(
                lambda nth: st.sampled_from(WEEKDAYS).map(lambda day: nth[0] + day)
            ),
            max_size=3,
        ),
        "BYSETPOS": numbers(12),
        "BYYEARDAY": numbers(366),
        "BYWEEKNO": numbers(53),
    },
)


@given(RULES, st.dates(date(2016, 1, 1), date(2026, 12, 31)))
@settings(max_examples=200, phases=(Phase.explicit, Phase.generate))
def test_what_is_worked_out_comes_again_and_again(parts, began):
    """dateutil, on its own, finds a second day of each such rule within a lifetime."""
    said = {key: value for key, value in parts.items() if value}
    rule = ";".join(
        f"{key}={','.join(map(str, value)) if isinstance(value, list) else value}"
        for key, value in said.items()
    )
    if names_days(vRecur.from_ical(rule), began):
        days = iter(rrulestr(rule, dtstart=datetime.combine(began, datetime.min.time())))
        assert next(days) and next(days).year < began.year + 100
