"""How bookings that are not cleared are listed: each once, what they share said once."""

from datetime import datetime, timedelta

from trainer.core.bookings.booking import Booking
from trainer.core.records.clearance import Clearance, Reason
from trainer.use_cases.weigh_bookings import Line
from trainer.web.week.listed import OPEN, listed

MONDAY = datetime.fromisoformat("2026-03-02T09:00:00")
NOT = Clearance("not_cleared", (Reason("not_started", "Bo has not started.", "Training."),))
METHODS = {"tape_in": "Tape-in"}


def line(hours, instead=("Ada",), person="bo", days=0, others=0):
    start = MONDAY + timedelta(days=days, hours=hours)
    booking = Booking(start, start + timedelta(hours=1), f"Tapes {hours}", "Bo")
    clearance = NOT if person else None
    name = person.title()
    return Line(booking, person, name, "tape_in", "fit", clearance, list(instead), others)


def test_what_several_bookings_share_is_said_once():
    lines = [line(0), line(1), line(1, person=""), line(2, instead=()), line(3, others=4)]
    (day,) = listed(lines, METHODS)
    assert (day.count, day.shown) == (5, True)
    bo, nobody = day.works
    assert (bo.person, bo.work, bo.answer) == ("Bo", "Tape-in, fit", "not_cleared")
    assert bo.reason == "Bo has not started."
    assert [(one.instead, one.bookings) for one in bo.hours] == [
        ("Ada", [("09:00", "Tapes 0"), ("10:00", "Tapes 1")]),
        ("", [("11:00", "Tapes 2")]),
        ("Ada and 4 more", [("12:00", "Tapes 3")]),
    ]
    assert (nobody.person, nobody.answer, nobody.reason) == ("", "", "")


def test_a_long_list_is_opened_day_by_day_and_nothing_is_left_out():
    lines = [line(n % 9, days=day) for day in range(3) for n in range(OPEN // 2)]
    days = listed(lines, METHODS)
    assert [one.shown for one in days] == [True, True, False]
    told = [at for day in days for work in day.works for same in work.hours for at in same.bookings]
    assert len(told) == len(lines) == sum(one.count for one in days)
    first = listed([line(0) for _ in range(OPEN + 1)], METHODS)
    assert [one.shown for one in first] == [True]
