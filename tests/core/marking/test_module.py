"""Is a module done, late, or near its day?"""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.marking.module import SOON_DAYS, most_pressing, progress

DAY = date(2026, 3, 3)


@pytest.mark.parametrize(
    ("answered", "due_in", "state"),
    [
        (10, -5, "done"),
        (12, 5, "done"),
        (9, -1, "overdue"),
        (0, -1, "overdue"),
        (9, 0, "due_soon"),
        (0, SOON_DAYS, "due_soon"),
        (0, SOON_DAYS + 1, "not_begun"),
        (1, SOON_DAYS + 1, "under_way"),
    ],
)
def test_the_state_on_a_day(answered, due_in, state):
    found = progress(answered, answered, 10, DAY + timedelta(days=due_in), DAY)
    assert found.state == state


def test_what_is_left_is_never_below_nothing():
    assert progress(8, 6, 10, DAY, DAY).left == 2
    assert progress(11, 6, 10, DAY, DAY).left == 0


@pytest.mark.parametrize(("answered", "right", "length"), [(1, 2, 5), (1, -1, 5), (0, 0, 0)])
def test_counts_that_cannot_be_are_refused(answered, right, length):
    with pytest.raises(ValueError, match="answered"):
        progress(answered, right, length, DAY, DAY)


@given(st.integers(0, 30), st.integers(1, 30), st.integers(-400, 400))
def test_done_depends_on_answers_alone_and_overdue_on_the_day(answered, length, due_in):
    found = progress(answered, 0, length, DAY + timedelta(days=due_in), DAY)
    assert (found.state == "done") is (answered >= length)
    assert (found.state == "overdue") is (answered < length and due_in < 0)


def test_the_most_pressing_speaks_for_the_group():
    late, done = progress(0, 0, 5, DAY - timedelta(1), DAY), progress(5, 5, 5, DAY, DAY)
    assert most_pressing([done, late]) == "overdue"
    assert most_pressing([done]) == "done"
    assert most_pressing([]) == "done"
