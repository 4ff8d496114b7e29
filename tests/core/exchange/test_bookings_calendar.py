"""Bookings from calendar files, written by two libraries that know nothing of each other."""

import contextlib
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
import vobject
from dateutil import tz
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from trainer.core.bookings.booking import Week
from trainer.core.exchange.bookings_calendar import read_calendar
from trainer.core.exchange.calendar_moments import PLAIN, Moments
from trainer.core.problems import InputProblem

WEEK = Week(date(2026, 3, 30))
"""The week after Britain's clocks went forward (29 March 2026)."""
LONDON, CHICAGO = ZoneInfo("Europe/London"), ZoneInfo("America/Chicago")
SALON = [
    # start, minutes, title, staff
    (datetime(2026, 3, 30, 9, 30, tzinfo=LONDON), 90, "Tapes full head - Ana; and, more", "Noor"),
    (datetime(2026, 3, 31, 8, 0, tzinfo=UTC), 60, "Zöpfe – länger als eine Zeile " * 4, "Bram Ö"),
    (datetime.fromisoformat("2026-04-01T10:00:00"), 45, "Weft \\ consultation", ""),
    (datetime(2026, 4, 2, 9, 0, tzinfo=CHICAGO), 30, "Removal", "Noor"),
]


def by_icalendar():
    calendar = icalendar.Calendar()
    calendar.add("prodid", "-//a//b//")
    calendar.add("version", "2.0")
    for number, (start, minutes, title, staff) in enumerate(SALON):
        event = icalendar.Event()
        event.add("uid", f"{number}@salon.example")
        event.add("dtstamp", datetime(2026, 3, 1, tzinfo=UTC))
        event.add("dtstart", start)
        event.add("dtend", start + timedelta(minutes=minutes))
        event.add("summary", title)
        if staff:
            event.add("resources", staff)
        event.add("description", "Client notes")
        calendar.add_component(event)
    calendar.add_missing_timezones()
    return calendar.to_ical()


ZONES = {"UTC": tz.UTC} | {one.key: tz.gettz(one.key) for one in (LONDON, CHICAGO)}
"""The same zones as vobject knows them."""


def by_vobject():
    calendar = vobject.iCalendar()
    for number, (start, minutes, title, staff) in enumerate(SALON):
        event = calendar.add("vevent")
        event.add("uid").value = f"{number}@salon.example"
        start = start.replace(tzinfo=start.tzinfo and ZONES[str(start.tzinfo)])
        event.add("dtstart").value = start
        event.add("dtend").value = start + timedelta(minutes=minutes)
        event.add("summary").value = title
        if staff:
            event.add("resources").value = [staff]
        event.add("description").value = "Client notes"
    return calendar.serialize().encode()


def test_a_line_may_be_folded_within_a_letter():
    """RFC 5545, 3.1 warns of writers that fold between the octets of one letter."""
    folded = calendar(lines("SUMMARY:Zöpfe")).replace("ö".encode(), b"\xc3\r\n \xb6")
    assert [one.title for one in read_calendar(folded, WEEK).bookings] == ["Zöpfe"]


def test_two_libraries_files_read_the_same():
    one, other = (
        read_calendar(made(), WEEK, "Europe/London") for made in (by_icalendar, by_vobject)
    )
    assert one == other
    assert [(b.start.isoformat(), b.end.isoformat(), b.staff) for b in one.bookings] == [
        ("2026-03-30T09:30:00", "2026-03-30T11:00:00", "Noor"),
        ("2026-03-31T09:00:00", "2026-03-31T10:00:00", "Bram Ö"),
        ("2026-04-01T10:00:00", "2026-04-01T10:45:00", ""),
        ("2026-04-02T15:00:00", "2026-04-02T15:30:00", "Noor"),
    ]
    assert one.bookings[0].title == SALON[0][2]
    assert one.bookings[1].title == SALON[1][2].strip()
    assert "Client notes" not in repr(one)


def calendar(*events, head=""):
    body = "".join(f"BEGIN:VEVENT\r\n{one}\r\nEND:VEVENT\r\n" for one in events)
    text = f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\n{head}{body}END:VCALENDAR\r\n"
    return text.encode()


def lines(*more, start="DTSTART:20260330T090000", uid="1"):
    return "\r\n".join((f"UID:{uid}", start, *more))


def read(*events, head="", zone="Europe/London"):
    return read_calendar(calendar(*events, head=head), WEEK, zone)


def starts(*events, **more):
    return [one.start.strftime("%d %H:%M") for one in read(*events, **more).bookings]


def test_cancelled_whole_day_and_other_weeks_are_left_out():
    found = read(
        lines("SUMMARY:a"),
        lines("SUMMARY:b", "STATUS:CANCELLED"),
        lines("SUMMARY:c", start="DTSTART;VALUE=DATE:20260331"),
        lines("SUMMARY:d", start="DTSTART:20260406T000000"),
        lines("SUMMARY:e", start="DTSTART:nonsense"),
    )
    assert [one.title for one in found.bookings] == ["a"]
    assert "Entries of a whole day in this week, left out: 1." in found.notes[1]
    assert found.notes[0] == "Bookings that cannot be read, so check these yourself: 1."
    assert found.reach == (date(2026, 3, 30), date(2026, 4, 6))


def test_length_alarms_and_the_calendar_s_name():
    alarm = "BEGIN:VALARM\r\nTRIGGER:-PT5M\r\nSUMMARY:other\r\nEND:VALARM"
    head = "X-WR-CALNAME:Noor Haddad\r\n"
    (one,) = read(lines("DURATION:PT1H30M", alarm, "summary;LANGUAGE=en:Tapes"), head=head).bookings
    assert (one.title, one.staff, one.end.hour) == ("Tapes", "Noor Haddad", 10)
    (by,) = read(lines('ORGANIZER;CN="Haddad, Noor":mailto:n@x.example'), head=head).bookings
    assert by.staff == "Haddad, Noor"


def test_what_stands_in_an_alarm_is_not_the_booking_s():
    """An alarm may come first, be written in small letters, or never end (3.6.6)."""
    first = "BEGIN:VALARM\r\nSUMMARY:other\r\nDURATION:PT5M\r\nRRULE:FREQ=DAILY\r\nEND:VALARM"
    endless = "begin:valarm\r\nsummary:other\r\nrepeat:1"
    for alarms in ((first, "SUMMARY:Tapes"), (first, first, "SUMMARY:Tapes", endless)):
        (one,) = read(lines(*alarms)).bookings
        assert (one.title, one.end) == ("Tapes", one.start)
    weekly = lines(first, "RRULE:FREQ=WEEKLY", "EXDATE:20260330T090000", first, "SUMMARY:Tapes")
    found = read(weekly)
    assert (found.bookings, found.notes) == ([], ())


def test_a_file_made_to_keep_its_reader_busy_is_read_or_refused_at_once():
    for line in ("", "BEGIN:VALARM", "X:y", "BEGIN:VEVENT", "END:VEVENT"):
        with contextlib.suppress(InputProblem):
            assert read(lines(*[line] * 30_000)).bookings[1:] == []


def test_the_calendar_s_own_zone_holds_where_the_salon_gives_none():
    utc = lines(start="DTSTART:20260330T090000Z")
    assert starts(utc, head="X-WR-TIMEZONE:America/New_York\r\n", zone="") == ["30 05:00"]
    named = lines(start="DTSTART;TZID=Europe/Paris:20260330T120000", uid="2")
    assert starts(utc, named, zone="") == ["30 11:00", "30 12:00"]
    assert "times in UTC" in read(utc, zone="").notes[0]
    assert "UTC" not in "".join(read(lines(), zone="").notes)
    odd = read(lines(start="DTSTART;TZID=Nowhere/Land:20260330T120000"))
    assert odd.bookings[0].start.hour == 12
    assert "Nowhere/Land" in odd.notes[0]


def test_a_file_s_own_rules_say_what_its_zone_is():
    """The zone that vobject calls GMT is London's, with summer time."""
    head = by_vobject().decode().split("BEGIN:VEVENT")[0].partition("BEGIN:VTIMEZONE")
    zones = "".join(head[1:])
    once = lines(start="DTSTART;TZID=GMT:20260330T090000")
    weekly = lines("RRULE:FREQ=WEEKLY", start="DTSTART;TZID=GMT:20260302T100000", uid="2")
    left_out = "EXDATE;TZID=GMT:20260330T110000"
    other = lines(
        "RRULE:FREQ=DAILY;COUNT=2", left_out, uid="3", start="DTSTART;TZID=GMT:20260330T110000"
    )
    assert starts(once, weekly, other, head=zones, zone="UTC") == [
        "30 08:00",
        "30 09:00",
        "31 10:00",
    ]


def test_repeating_bookings_come_on_their_days():
    # RFC 5545, 3.8.5.3: rules, exceptions and moved ones.
    weekly = lines("RRULE:FREQ=WEEKLY;BYDAY=MO,WE", start="DTSTART:20260302T090000")
    assert starts(weekly) == ["30 09:00", "01 09:00"]
    daily = lines(
        "RRULE:FREQ=DAILY;COUNT=31", "EXDATE:20260331T090000", start="DTSTART:20260302T090000"
    )
    assert starts(daily) == ["30 09:00", "01 09:00"]
    moved = lines("RECURRENCE-ID:20260401T090000", start="DTSTART:20260402T140000")
    assert starts(weekly, moved) == ["30 09:00", "02 14:00"]
    dropped = lines(
        "RECURRENCE-ID:20260401T090000", "STATUS:CANCELLED", start="DTSTART:20260401T090000"
    )
    assert starts(weekly, dropped) == ["30 09:00"]
    monthly = lines("RRULE:FREQ=MONTHLY;BYDAY=-1TU", start="DTSTART:20260127T090000")
    assert starts(monthly) == ["31 09:00"]


def test_a_weekly_booking_keeps_its_hour_when_the_clocks_change():
    weekly = lines("RRULE:FREQ=WEEKLY", start="DTSTART;TZID=Europe/London:20260302T090000")
    assert starts(weekly) == ["30 09:00"]


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=SECONDLY",
        "FREQ=HOURLY",
        "FREQ=DAILY;BYHOUR=1,2,3;BYMINUTE=0,1,2",
        "FREQ=DAILY;INTERVAL=7;BYDAY=TU",
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=WEEKLY;INTERVAL=0",
        "FREQ=MONTHLY;INTERVAL=12;BYMONTHDAY=31",
        "FREQ=MONTHLY;BYDAY=6MO",
        "FREQ=MONTHLY;BYDAY=MO;BYSETPOS=300",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=YEARLY;INTERVAL=999999",
    ],
)
def test_rules_that_run_for_ever_are_told_not_run(rule):
    found = read(
        lines(f"RRULE:{rule}", start="DTSTART:20260202T090000"), lines("SUMMARY:a", uid="2")
    )
    assert [one.title for one in found.bookings] == ["a"]
    assert "worked out, so check these yourself: 1." in found.notes[0]


def test_a_series_from_long_ago_is_told_not_run():
    assert (
        "cannot be worked out"
        in read(lines("RRULE:FREQ=DAILY", start="DTSTART:00010101T090000")).notes[0]
    )


def test_too_many_series_are_refused():
    many = [
        lines("RRULE:FREQ=WEEKLY", start="DTSTART:20260302T090000", uid=str(n)) for n in range(201)
    ]
    with pytest.raises(InputProblem, match="repeating"):
        read(*many)


@pytest.mark.parametrize(
    "content",
    [b"", b"\xff\xfe", b"Date,Start\r\n", b"BEGIN:VCARD\r\nEND:VCARD\r\n", b"BEGIN:VCALENDAR\r\n"],
)
def test_what_is_no_calendar_is_refused(content):
    with pytest.raises(InputProblem, match="^calendar"):
        read_calendar(content, WEEK)


def test_only_whole_days_of_the_week_are_told():
    found = read(
        lines("DTEND;VALUE=DATE:20260331", start="DTSTART;VALUE=DATE:20260327", uid="1"),
        lines(start="DTSTART;VALUE=DATE:20260330", uid="2"),
        lines("DTEND;VALUE=DATE:20260330", start="DTSTART;VALUE=DATE:20260329", uid="3"),
        lines(start="DTSTART;VALUE=DATE:20260406", uid="4"),
        lines("RRULE:FREQ=YEARLY", start="DTSTART;VALUE=DATE:20200401", uid="5"),
    )
    assert len(found.notes) == 1 and "left out: 3." in found.notes[0]


def test_series_that_are_over_are_neither_told_nor_too_many():
    """A house's diary of many years is full of them."""
    old = "DTSTART:20080107T090000"
    over = [lines("RRULE:FREQ=WEEKLY;UNTIL=20090101", start=old, uid=str(n)) for n in range(300)]
    moved = "RECURRENCE-ID:20250106T090000"
    over += [lines(moved, start="DTSTART:20250107T090000", uid=f"m{n}") for n in range(300)]
    ahead = lines("RRULE:FREQ=DAILY", start="DTSTART:20270101T090000", uid="a")
    found = read(*over, ahead, lines("SUMMARY:now", "DURATION:PT1H", uid="now"))
    assert [one.title for one in found.bookings] == ["now"] and found.notes == ()


def test_one_of_a_series_is_found_wherever_it_was_moved_to():
    kept = lines("RRULE:FREQ=WEEKLY;UNTIL=20260301", start="DTSTART:20260202T090000", uid="x")
    into = lines("RECURRENCE-ID:20260209T090000", start="DTSTART:20260401T100000", uid="x")
    away = lines("RECURRENCE-ID:20260330T090000", start="DTSTART:20260420T100000", uid="y")
    series = lines("RRULE:FREQ=WEEKLY", start="DTSTART:20260302T090000", uid="y")
    assert starts(kept, into, series, away) == ["01 10:00"]
    ahead = lines("RRULE:FREQ=WEEKLY", start="DTSTART:20260420T090000", uid="z")
    early = lines("RECURRENCE-ID:20260427T090000", start="DTSTART:20260402T100000", uid="z")
    assert starts(ahead, early) == ["02 10:00"]


def test_several_calendars_in_one_file_each_with_its_name():
    one, two = (
        calendar(lines("DURATION:PT1H"), head=f"X-WR-CALNAME:{name}\r\n")
        for name in ("Noor", "Bram")
    )
    found = read_calendar(one + two, WEEK, "Europe/London")
    assert [one.staff for one in found.bookings] == ["Bram", "Noor"]
    with pytest.raises(InputProblem, match="More than 100 calendars"):
        read_calendar(one * 102, WEEK, "Europe/London")


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_calendar_is_read_as_older_programs_write_it(coding):
    text = calendar(lines("SUMMARY:Zöpfe")).decode()
    found = read_calendar(text.encode(coding), WEEK, "Europe/London")
    assert [one.title for one in found.bookings] == ["Zöpfe"]


PIECES = st.sampled_from(
    ["BEGIN:VEVENT", "END:VEVENT", "BEGIN:VALARM", "END:VALARM", "END:VCALENDAR", "SUMMARY:a\\"]
    + ["DTSTART:20260330T090000", 'DTEND;TZID="x:DTEND', "DTSTART;VALUE=PERIOD:2026", "RRULE:FREQ="]
    + ["RRULE:FREQ=DAILY", "RDATE:x", "RECURRENCE-ID:20260330T090000", "DURATION:-P1W", "UID:1"]
    + ["ORGANIZER;CN:x", "RESOURCES;=:a", "STATUS", "EXDATE;TZID=a/b:20260330", " folded", ":", ";"]
)


@given(st.lists(PIECES, max_size=14))
@hypothesis_settings(max_examples=150)
def test_any_file_is_read_or_refused(pieces):
    text = "BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n" + "\r\n".join(pieces)
    try:
        found = read_calendar(
            f"{text}\r\nEND:VEVENT\r\nEND:VCALENDAR".encode(), WEEK, "Europe/Oslo"
        )
    except InputProblem:
        return
    assert all(one.start <= one.end and WEEK.holds(one.start) for one in found.bookings)


@given(
    st.sampled_from(["DTSTART", "DTEND"]),
    st.sampled_from(["", ";TZID=Europe/Oslo", ";TZID=W. Europe Standard Time", ";TZID=Own/Clock"]),
    st.datetimes(datetime.fromisoformat("1990-01-01"), datetime.fromisoformat("2090-01-01")),
    st.sampled_from(["", "Z"]),
)
def test_the_direct_way_reads_as_the_library_does(name, zone, moment, utc):
    line = f"{name}{zone if not utc else ''}:{moment:%Y%m%dT%H%M%S}{utc}"
    moments = Moments(LONDON, {"Own/Clock": CHICAGO})
    assert PLAIN.fullmatch(line)
    assert moments[line] == moments.by_library(line)
