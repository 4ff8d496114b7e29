"""Weeks from Monday on."""

from datetime import date, datetime

from trainer.core.bookings.booking import Week, week_of


def moment(day, hour):
    return datetime.fromisoformat(f"2026-03-0{day}T{hour:02}:00")


def test_a_week_starts_on_monday():
    assert week_of(date(2026, 3, 8)) == Week(date(2026, 3, 2))
    assert week_of(date(2026, 3, 2)) == Week(date(2026, 3, 2))
    assert not Week(date(2026, 3, 2)).holds(moment(9, 0))
