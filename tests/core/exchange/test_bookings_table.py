"""Bookings from tables: columns by their headings, days and times as salons write them."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.bookings.booking import Week
from trainer.core.exchange.bookings_table import read_table
from trainer.core.problems import InputProblem

WEEK = Week(date(2026, 3, 2))


def read(text, **more):
    return read_table(text.encode() if isinstance(text, str) else text, WEEK, **more)


def spans(text, **more):
    return [f"{one.start:%d %H:%M}-{one.end:%H:%M}" for one in read(text, **more).bookings]


def test_columns_are_found_by_their_headings_and_others_are_not_read():
    table = (
        "Client;Stylist;Service;Date;Start time;End time\n"
        "Ana K;Noor Haddad;Tapes;03/03/2026;9:00;10:30\n"
    )
    (one,) = read(table).bookings
    assert (one.title, one.staff, one.start.hour, one.end.minute) == ("Tapes", "Noor Haddad", 9, 30)
    assert "Ana" not in repr(one)


@pytest.mark.parametrize(
    "row",
    [
        "2026-03-03,09:00",
        "03.03.2026,9.00",
        "3/3/2026,9:00 AM",
        "Tue 3 Mar 2026,9am",
        "3 March 2026,09:00:00",
        "3rd March 2026,9 a.m.",
        "3/3/26,0900",
        "03/03/2026,9h00",
        "2026/03/03,9.00 a.m.",
        "3-Mar-2026,9:00",
        "03/03/2026 00:00:00,9:00",
        '"Mar 3, 2026",9:00am',
    ],
)
def test_days_and_times_as_salons_write_them(row):
    assert spans(f"Date,Time,Title\n{row},x\n") == ["03 09:00-09:00"]


@pytest.mark.parametrize(
    "moment",
    ["2026-03-03T09:00", "2026-03-03 09:00:00", "03/03/2026 09:00", "3/3/2026 9:00 am"],
)
def test_a_moment_in_one_column(moment):
    assert spans(f"Start,Minutes,Title\n{moment},45,x\n") == ["03 09:00-09:45"]


def test_times_with_a_zone_are_read_by_the_salon_s_clock():
    table = "Start,End,Title\n2026-03-03T09:00:00Z,2026-03-03T10:00:00Z,x\n"
    assert spans(table, zone="America/New_York") == ["03 04:00-05:00"]


def test_which_number_is_the_month_is_told_by_a_date_where_one_cannot_be():
    table = "Date,Time,Title\n3/4/2026,9:00,x\n3/25/2026,9:00,x\n"
    assert spans(table) == ["04 09:00-09:00"]
    alone = "Date,Time,Title\n3/4/2026,9:00,x\n"
    assert spans(alone, month_first=True) == ["04 09:00-09:00"]
    assert spans(alone) == []


def test_cancelled_rows_are_left_out_and_rows_that_cannot_be_read_are_named():
    table = (
        "Date,Time,Title,Status\n03/03/2026,9:00,a,\n03/03/2026,9:00,b,Cancelled\n\n"
        "soon,9:00,c,\n03/03/2026,late,d,\n"
    )
    found = read(table)
    assert [one.title for one in found.bookings] == ["a"]
    assert found.notes == (
        "Row 5: 'soon' is no date. The row was left out.",
        "Row 6: 'late' is no time of day. The row was left out.",
        "Bookings that say no end, so an hour is reckoned with to see who is free: 1.",
    )


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("", "no rows"),
        ("Date,Time,Title\n", "no rows"),
        ("Who,Colour\nNoor,red\n", "No column says when .* Who, Colour"),
        ("Date,Time\n03/03/2026,9:00\n", "what is done"),
        ("Date,Time,Title\nsoon,9:00,a\n", "Row 2: 'soon' is no date"),
        ("Date,Time,Title\nsoon,9:00,a\n", r"no date\. Mend the column"),
        (b"PK\x03\x04\x14\x00\x06\x00", "workbook.*save it as CSV"),
        (b"\x00\xff\xfe\x81\x8d", "not text|no rows"),
    ],
)
def test_a_table_that_cannot_be_used_says_why(table, said):
    with pytest.raises(InputProblem, match=said):
        read(table)


@pytest.mark.parametrize("said", ["90", "90 min", "1h 30m", "1 hr 30 mins", "1:30", "1 hour 30"])
def test_how_long_it_lasts_is_said_in_many_ways(said):
    found = read(f"Date,Time,Title,Duration (min)\n03/03/2026,9:00,a,{said}\n")
    assert found.bookings[0].end.isoformat() == "2026-03-03T10:30:00"
    assert found.notes == ()


@pytest.mark.parametrize("said", ["long", "", "1.5"])
def test_a_length_that_cannot_be_read_loses_no_booking(said):
    found = read(f"Date,Time,Title,Duration\n03/03/2026,9:00,a,{said}\n")
    assert [one.title for one in found.bookings] == ["a"]
    assert "no end" in found.notes[0]


@pytest.mark.parametrize(
    ("start", "end", "minutes"),
    [("22:00", "00:30", 150), ("10pm", "12am", 120), ("16:00", "00:00", 480), ("9:00", "9:00", 0)],
)
def test_a_booking_may_end_after_midnight(start, end, minutes):
    found = read(f"Date,Start,End,Title\n08/03/2026,{start},{end},a\n")
    (one,) = found.bookings
    assert one.end - one.start == timedelta(minutes=minutes)
    assert [note[:16] for note in found.notes] == ["Bookings that sa"][: not minutes]


@pytest.mark.parametrize(
    "hours", ["03/03/2026,14:00,13:00", "03/03/2026,11:30,1:00", "3/3/2026,9:00,2/3/2026 23:00:00"]
)
def test_an_end_before_the_start_is_told_with_its_row(hours):
    other = "03/04/2026,14:00,13:00,another week\n"
    found = read(f"Date,Start,End,Title\n{other}{hours},a\n")
    (one,) = found.bookings
    assert one.end == one.start
    assert found.notes[0] == "Row 3: it ends before it starts. Its end was not read."
    assert "no end" in found.notes[1] and found.notes[1].endswith(": 1.")
    many = read("Date,Start,End,Title\n" + f"{hours},a\n" * 12)
    assert many.notes[-2] == "2 more rows end before they start."


def test_headings_are_found_below_the_title_of_a_report():
    table = "sep=;\nBookings of the week\n\nDate;Start;End;Staff Name;Service Name\n"
    found = read(f"{table}03/03/2026;9:00;10:00;Noor;Tapes\nsoon;9:00;10:00;Noor;Tapes\n")
    assert [(one.title, one.staff) for one in found.bookings] == [("Tapes", "Noor")]
    assert found.notes[0].startswith("Row 6:") and found.bare


def test_spreadsheets_ways_of_writing_text():
    table = "Date,Time,Title\n03/03/2026,9:00,Zöpfe\n"
    for content in (table.encode("utf-8-sig"), table.encode("utf-16"), table.encode("cp1252")):
        assert read(content).bookings[0].title == "Zöpfe"


@given(st.text(max_size=80))
def test_any_table_is_read_or_refused(text):
    for head in ("", "Date,Time,Title,Minutes\n", "Start;End;Title\n"):
        try:
            found = read((head + text).encode("utf-8", "replace"))
        except InputProblem:
            continue
        assert all(one.start <= one.end for one in found.bookings)
