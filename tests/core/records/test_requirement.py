"""What a new record needs, the first time and when it is renewed."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.records.requirement import Missing, end_of, missing
from trainer.core.records.standing import HeldRecord

DAY = date(2026, 6, 1)
OBSERVED = dict.fromkeys(("fit", "maintain", "remove"), date(2026, 5, 20))
PASSED = date(2026, 5, 10)
HELD = HeldRecord(
    "r1", frozenset(OBSERVED), date(2026, 1, 1), date(2026, 12, 31), "in_force", date(2026, 1, 1)
)


def found(passed_on=PASSED, observed_on=OBSERVED, held=()):
    return missing(DAY, passed_on, observed_on, held, 60)


def test_assessment_and_all_three_services_are_enough():
    assert found().nothing


def test_what_is_missing_is_named():
    assert found(None, {"fit": DAY}) == Missing(False, True, ("maintain", "remove"))


def test_a_record_in_force_is_not_issued_twice():
    assert found(held=[HELD]) == Missing(True, False, ())


def test_near_its_end_a_record_may_be_renewed():
    assert found(held=[replace(HELD, valid_until=date(2026, 7, 31))]).nothing


def test_what_an_old_record_rested_on_does_not_count_again():
    ended = replace(HELD, valid_from=date(2026, 5, 20), valid_until=date(2026, 5, 31))
    assert found(held=[ended]) == Missing(False, True, ("fit", "maintain", "remove"))


def test_after_a_suspension_everything_must_be_newer():
    stopped = replace(HELD, state="suspended", since=date(2026, 5, 15))
    assert found(held=[stopped]) == Missing(False, True, ())


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        (date(2026, 3, 2), 12, date(2027, 3, 2)),
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2026, 12, 31), 24, date(2028, 12, 31)),
        (date(2026, 8, 31), 6, date(2027, 2, 28)),
    ],
)
def test_whole_months_end_on_the_same_day_or_the_months_last(start, months, end):
    assert end_of(start, months) == end


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(1, 60))
def test_a_longer_record_never_ends_earlier(start, months):
    assert start < end_of(start, months) < end_of(start, months + 1)


def test_less_than_a_month_is_refused():
    with pytest.raises(ValueError, match="months"):
        end_of(DAY, 0)
