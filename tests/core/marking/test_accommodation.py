"""The clock of a sitting stands still on a pause, and never longer than was granted."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.marking.accommodation import Accommodation, SittingClock, checked
from trainer.core.problems import InputProblem

START = datetime(2026, 3, 3, 9, tzinfo=UTC)
END = START + timedelta(minutes=60)


@pytest.mark.parametrize(("percent", "minutes"), [(0, 60), (25, 75), (50, 90), (100, 120)])
def test_extra_time_is_a_share_of_the_usual(percent, minutes):
    assert Accommodation(percent).minutes(60) == minutes


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        (Accommodation(150), "extra_percent"),
        (Accommodation(-1), "extra_percent"),
        (Accommodation(0, 7, 5), "pauses"),
        (Accommodation(0, 1, 31), "pause_minutes"),
    ],
)
def test_what_cannot_be_granted_is_refused_by_its_field(asked, field):
    with pytest.raises(InputProblem) as problem:
        checked(asked)
    assert problem.value.where == field


def test_pauses_without_length_are_none():
    assert checked(Accommodation(0, 3, 0)) == checked(Accommodation(0, 0, 10)) == Accommodation()
    assert checked(Accommodation(25, 2, 10, True)).pauses == 2


@given(before=st.integers(0, 3600), waits=st.integers(0, 7200), pause=st.integers(1, 30))
def test_a_pause_moves_the_end_by_as_long_as_it_lasts_at_most_its_length(before, waits, pause):
    began = START + timedelta(seconds=before)
    clock = SittingClock(END, 1, pause, 1, began)
    now = began + timedelta(seconds=waits)
    stood = min(waits, pause * 60)
    assert clock.end(now) == END + timedelta(seconds=stood)
    assert clock.stands_still(now) is (waits < pause * 60)
    assert clock.seconds_left(now) == max(0, 3600 - before - (waits - stood))


def test_pauses_are_counted():
    assert SittingClock(END, 2, 10, 1).pauses_left == 1
    assert SittingClock(END, 2, 10, 3).pauses_left == 0
    assert SittingClock(END).seconds_left(END + timedelta(hours=1)) == 0
