"""Who is free when."""

from datetime import date, datetime

from trainer.core.bookings.booking import Booking, Week, is_free, taken, week_of


def moment(day, hour):
    return datetime.fromisoformat(f"2026-03-0{day}T{hour:02}:00")


def at(day, start, end):
    return Booking(moment(day, start), moment(day, end), "", "")


def test_a_booking_that_ends_when_another_starts_does_not_meet_it():
    spans = taken({0: "noor"}, [at(2, 9, 11)])
    assert not is_free(spans, "noor", at(2, 10, 12))
    assert not is_free(spans, "noor", at(2, 8, 12))
    assert is_free(spans, "noor", at(2, 11, 12))
    assert is_free(spans, "noor", at(3, 9, 11))
    assert is_free(spans, "bram", at(2, 9, 11))


def test_a_booking_past_midnight_is_found_on_both_days():
    long = Booking(moment(2, 22), moment(3, 1), "", "")
    assert not is_free(taken({0: "noor"}, [long]), "noor", at(3, 0, 2))


def test_a_week_starts_on_monday():
    assert week_of(date(2026, 3, 8)) == Week(date(2026, 3, 2))
    assert week_of(date(2026, 3, 2)) == Week(date(2026, 3, 2))
    assert not Week(date(2026, 3, 2)).holds(moment(9, 0))
