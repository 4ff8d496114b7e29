"""Each booking is sorted once, by what its words mean."""

from datetime import datetime, timedelta

from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from trainer.core.bookings.booking import Booking
from trainer.core.bookings.matching import Rule, words_of
from trainer.core.bookings.sorting import sorted_out

START = datetime.fromisoformat("2026-03-09T09:00")
TEAM = {"1": "Ada Lowe", "2": "Bo Hart"}
TAPES = Rule("tapes", "work", ("tapes",), "tape_in", "fit")
CUT = Rule("cut", "work", ("cut",))
NAILS = Rule("nails", "person", ("nail", "bar"))
BOBBY = Rule("bobby", "person", ("bobby",), person="2")
RULES = (TAPES, CUT, NAILS, BOBBY)


def booked(title, staff=""):
    return Booking(START, START + timedelta(hours=1), title, staff)


def test_where_each_kind_of_booking_goes():
    week = [
        booked("Tapes - Kim", "Ada Lowe"),
        booked("Bobby: tapes", "Somebody"),
        booked("Cut", "Nail bar"),
        booked("Tapes", "Nail bar"),
        booked("Lashes", "Zed"),
        booked("Tapes"),
    ]
    found = sorted_out(week, RULES, TEAM)
    assert found.work == {0: TAPES, 1: TAPES, 5: TAPES}
    assert found.people == {0: "1", 1: "2"}
    assert found.unknown_work == {4: "Lashes"}
    assert found.unknown_people == {4: "Zed"}
    assert (found.no_need, found.not_ours) == (1, 1)
    assert found.read_as() == [(TAPES, 3), (BOBBY, 1), (CUT, 1), (NAILS, 1)]


TEXTS = st.sampled_from(
    ["", "Tapes", "cut", "Nail bar", "bobby", "Ada Lowe", "Lashes", "Kim - tapes"]
)


@given(st.lists(st.builds(booked, TEXTS, TEXTS), max_size=12))
@hypothesis_settings(max_examples=60)
def test_every_booking_is_in_one_place(week):
    found = sorted_out(week, RULES, TEAM)
    asked = found.work.keys() | found.unknown_work.keys()
    assert found.work.keys().isdisjoint(found.unknown_work)
    assert found.people.keys().isdisjoint(found.unknown_people)
    assert found.people.keys() | found.unknown_people.keys() <= asked
    assert len(asked) + found.no_need + found.not_ours == len(week)
    for place, rule in found.work.items():
        assert set(rule.words) <= set(words_of(week[place].title))
