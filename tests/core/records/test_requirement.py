"""What a new record needs, the first time and when it is renewed."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.knowledge.scheme import Refresh, Scheme
from trainer.core.records.requirement import (
    Done,
    Missing,
    Requirement,
    end_of,
    last_day,
    may_refresh,
    missing,
    requirements,
)
from trainer.core.records.standing import HeldRecord

DAY = date(2026, 6, 1)
OBSERVED = dict.fromkeys(("fit", "maintain", "remove"), date(2026, 5, 20))
PASSED = date(2026, 5, 10)
HELD = HeldRecord(
    "r1", frozenset(OBSERVED), date(2026, 1, 1), date(2026, 12, 31), "in_force", date(2026, 1, 1)
)


def found(passed_on=PASSED, observed_on=OBSERVED, held=()):
    return missing(DAY, Scheme(), Done(passed_on, observed_on), held)


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


def test_every_requirement_says_how_it_stands():
    done = Done(None, {"fit": DAY}, {"maintain": "not_met", "remove": "second_missing"})
    assert requirements(DAY, Scheme(), done, ()) == (
        Requirement("assessment", "missing"),
        Requirement("fit", "met", DAY),
        Requirement("maintain", "not_met"),
        Requirement("remove", "second_missing"),
    )


def test_what_was_met_before_the_record_is_needed_again():
    ended = replace(HELD, valid_from=date(2026, 5, 15), valid_until=date(2026, 5, 31))
    found = requirements(DAY, Scheme(), Done(PASSED, OBSERVED), [ended])
    assert [one.state for one in found] == ["too_old", "met", "met", "met"]
    assert found[0].on == PASSED


def test_a_scheme_settles_which_services_are_asked():
    short = Scheme(observed=("fit",), refresh=Refresh(observed=("fit",)))
    assert missing(DAY, short, Done(PASSED, {"fit": DAY}), ()).nothing


def test_who_renews_in_time_may_be_asked_less_and_who_is_late_is_not():
    scheme = Scheme(refresh=Refresh(observed=("remove",), late_days=30))
    ending = replace(HELD, valid_until=date(2026, 6, 20))
    fresh = Done(DAY, {**dict.fromkeys(("fit", "maintain"), date(2025, 5, 1)), "remove": DAY})
    assert missing(DAY, scheme, fresh, [ending]).nothing
    late = replace(HELD, valid_until=date(2026, 4, 20))
    assert missing(DAY, scheme, fresh, [late]).observed == ("fit", "maintain")


@pytest.mark.parametrize(
    ("day", "may"),
    [
        (date(2026, 10, 31), False),
        (date(2026, 11, 1), True),
        (date(2026, 12, 31), True),
        (date(2027, 1, 30), True),
        (date(2027, 1, 31), False),
    ],
)
def test_the_shorter_way_is_open_near_the_end_and_a_little_after(day, may):
    assert may_refresh(day, Scheme(), [HELD]) is may


def test_after_a_stop_only_the_full_way_is_open():
    day = date(2026, 12, 1)
    for state in ("suspended", "withdrawn"):
        assert not may_refresh(day, Scheme(), [replace(HELD, state=state, since=date(2026, 11, 1))])
    old = replace(HELD, id="r0", state="replaced", since=date(2026, 11, 20))
    assert may_refresh(day, Scheme(), [HELD, old])
    assert not may_refresh(day, Scheme(), [])


def test_renewing_early_loses_no_time_and_renewing_late_wins_none():
    early, scheme = date(2026, 11, 15), Scheme()
    assert last_day(early, 12, scheme, [HELD]) == date(2027, 12, 31)
    assert last_day(date(2026, 12, 31), 12, scheme, [HELD]) == date(2027, 12, 31)
    assert last_day(date(2027, 1, 1), 12, scheme, [HELD]) == date(2028, 1, 1)
    stopped = replace(HELD, state="suspended")
    assert last_day(early, 12, scheme, [stopped]) == date(2027, 11, 15)
    assert last_day(early, 12, scheme, []) == date(2027, 11, 15)


@given(st.dates(date(2026, 1, 1), date(2027, 6, 1)), st.integers(1, 36), st.integers(0, 120))
def test_a_renewed_record_never_ends_before_one_issued_without_the_old(day, months, window):
    scheme = Scheme(renew_days=window)
    assert last_day(day, months, scheme, [HELD]) >= last_day(day, months, scheme, [])


def test_a_replaced_record_neither_counts_nor_stands_in_the_way():
    replaced = replace(HELD, state="replaced", since=date(2026, 5, 25))
    again = replace(HELD, id="r2")
    done = Done(PASSED, OBSERVED)
    assert missing(DAY, Scheme(), done, [replaced, again]) == missing(DAY, Scheme(), done, [HELD])
