"""The calendar file as RFC 5545 and 7986 ask, read back by its octets and by the library."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import vobject
from icalendar import Calendar

from trainer.core.records.expiry_calendar import EndingDay, compose_calendar

AT = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)
ONE = EndingDay(
    "5f0c2a3e-1111-5222-8333-944445555666",
    "Tape-in: my completion record ends",
    "Renew it, please; a line that is far longer than seventy-five octets, é included, so it folds",
    "https://quayside.example/endings/mine",
    date(2027, 3, 3),
    2,
    AT,
)


def lines(content):
    """Unfolded lines (RFC 5545, 3.1)."""
    return content.replace(b"\r\n ", b"").decode().split("\r\n")


def test_lines_end_with_crlf_and_none_is_longer_than_75_octets():
    """RFC 5545, 3.1."""
    content = compose_calendar("Mine", [ONE])
    assert content.count(b"\n") == content.count(b"\r\n")
    assert max(len(line) for line in content.split(b"\r\n")) <= 75
    content.decode("utf-8")


def test_what_must_stand_stands():
    found = lines(compose_calendar("Mine, all", [ONE]))
    for wanted in (
        "VERSION:2.0",
        "NAME:Mine\\, all",
        "REFRESH-INTERVAL;VALUE=DURATION:P1D",
        f"UID:{ONE.uid}",
        "DTSTAMP:20260303T090000Z",
        "LAST-MODIFIED:20260303T090000Z",
        "SEQUENCE:2",
        "DTSTART;VALUE=DATE:20270303",
        "DTEND;VALUE=DATE:20270304",
        "STATUS:CONFIRMED",
        "TRIGGER:-P30D",
    ):
        assert wanted in found, wanted
    assert any(line.startswith("PRODID:") for line in found)
    assert any("please\\; a line" in line for line in found)


def test_another_reader_finds_the_same_day():
    (event,) = Calendar.from_ical(compose_calendar("Mine", [ONE])).walk("VEVENT")
    assert event.decoded("dtstart") == date(2027, 3, 3)
    assert event.decoded("dtstamp") == AT


def test_a_library_that_wrote_none_of_it_reads_and_validates_all_of_it():
    """vobject shares no code with the library that writes; it checks what RFC 5545 requires."""
    other = replace(
        ONE, uid="0", on=date(2026, 1, 1), summary="Ende, fällig; \\ neu", cancelled=True
    )
    calendar = vobject.readOne(compose_calendar("Mine; all", [ONE, other]).decode())
    assert calendar.validate(raiseException=True)
    assert calendar.contents["name"][0].value == "Mine; all"
    ended, lasting = calendar.vevent_list
    assert (ended.summary.value, ended.status.value) == (other.summary, "CANCELLED")
    assert (lasting.uid.value, lasting.sequence.value) == (ONE.uid, "2")
    assert (lasting.dtstart.value, lasting.dtend.value) == (date(2027, 3, 3), date(2027, 3, 4))
    assert lasting.dtstamp.value == lasting.last_modified.value == AT
    assert lasting.description.value == ONE.note
    assert lasting.valarm.trigger.value == timedelta(days=-30)
    again = vobject.readOne(calendar.serialize()).vevent_list[1]
    assert (again.uid.value, again.summary.value) == (ONE.uid, ONE.summary)


def test_the_same_endings_give_the_same_bytes_in_any_order():
    other = replace(ONE, uid="0", on=date(2026, 1, 1))
    assert compose_calendar("Mine", [ONE, other]) == compose_calendar("Mine", [other, ONE])


def test_what_is_cancelled_says_so_and_rings_no_more():
    found = lines(compose_calendar("Mine", [replace(ONE, cancelled=True, sequence=3)]))
    assert "STATUS:CANCELLED" in found and "BEGIN:VALARM" not in found


def test_a_calendar_may_be_empty():
    assert Calendar.from_ical(compose_calendar("Mine", [])).walk("VEVENT") == []
