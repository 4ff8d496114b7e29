"""Who is free when."""

from datetime import datetime, timedelta

from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from trainer.core.bookings.booking import Booking
from trainer.core.bookings.hours import Hours


def moment(day, hour):
    return datetime.fromisoformat(f"2026-03-0{day}T{hour:02}:00")


def at(day, start, end):
    return Booking(moment(day, start), moment(day, end), "", "")


def test_a_booking_that_ends_when_another_starts_does_not_meet_it():
    hours = Hours({0: "noor"}, [at(2, 9, 11)])
    assert hours.busy(at(2, 10, 12)) == {"noor"}
    assert hours.busy(at(2, 8, 12)) == {"noor"}
    assert hours.busy(at(2, 11, 12)) == set()
    assert hours.busy(at(2, 8, 9)) == set()
    assert hours.busy(at(3, 9, 11)) == set()


def test_a_booking_past_midnight_is_found_on_both_days():
    long = Booking(moment(2, 22), moment(3, 1), "", "")
    assert Hours({0: "noor"}, [long]).busy(at(3, 0, 2)) == {"noor"}


def ends(booking):
    """An hour later where no end is said."""
    return booking.end if booking.end > booking.start else booking.start + timedelta(hours=1)


def test_whoever_is_booked_without_an_end_is_not_free_at_that_hour():
    hours = Hours({0: "noor"}, [at(2, 9, 9)])
    assert hours.busy(at(2, 9, 9)) == {"noor"}
    assert hours.busy(at(2, 9, 11)) == {"noor"}
    assert hours.busy(at(2, 10, 11)) == set()


SPAN = st.tuples(st.integers(0, 40), st.integers(0, 12), st.sampled_from("abc"))


@given(st.lists(SPAN, max_size=12).map(sorted), SPAN)
@hypothesis_settings(max_examples=80)
def test_whoever_overlaps_is_busy_and_nobody_else(spans, asked):
    def booking(start, length, _):
        begun = moment(2, 0) + timedelta(hours=start)
        return Booking(begun, begun + timedelta(hours=length), "", "")

    bookings = [booking(*one) for one in spans]
    one = booking(*asked)
    expected = {
        person
        for (_, _, person), other in zip(spans, bookings, strict=True)
        if other.start < ends(one) and one.start < ends(other)
    }
    people = {place: person for place, (_, _, person) in enumerate(spans)}
    assert Hours(people, bookings).busy(one) == expected
