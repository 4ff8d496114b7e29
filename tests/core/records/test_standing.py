"""Standing over time: the last word counts, and no day is without a word."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.records.standing import HeldRecord, Progress, may_change, on_day, standing_on

DAY = date(2026, 6, 1)
NOTHING = Progress(started=False, passed_on=None, observed=frozenset())
STARTED = replace(NOTHING, started=True)
ALL = frozenset({"fit", "maintain", "remove"})
HELD = HeldRecord("r1", ALL, date(2026, 1, 1), date(2026, 12, 31), "in_force", date(2026, 1, 1))


def word(*records, day=DAY, service="fit", progress=STARTED):
    return standing_on(day, service, records, progress).word


@pytest.mark.parametrize(
    ("records", "progress", "expected"),
    [
        ([], NOTHING, "not_started"),
        ([], STARTED, "working_towards"),
        ([], replace(NOTHING, observed=frozenset({"fit"})), "working_towards"),
        ([HELD], STARTED, "competent"),
        ([replace(HELD, valid_until=date(2026, 5, 31))], STARTED, "expired"),
        ([replace(HELD, state="suspended", since=date(2026, 5, 1))], STARTED, "suspended"),
        ([replace(HELD, state="withdrawn", since=DAY)], STARTED, "withdrawn"),
        ([replace(HELD, valid_from=date(2026, 7, 1))], STARTED, "working_towards"),
        ([replace(HELD, services=frozenset({"fit"}))], STARTED, "competent"),
    ],
)
def test_the_word_for_a_state_of_affairs(records, progress, expected):
    assert word(*records, progress=progress) == expected


def test_a_record_speaks_only_of_its_services_and_of_those_every_record_includes():
    held = replace(HELD, services=frozenset({"fit"}))
    assert word(held, service="remove") == "working_towards"
    assert word(held, service="consult") == word(held, service="aftercare") == "competent"


def test_the_first_and_the_last_day_belong_to_a_record():
    one = timedelta(days=1)
    assert word(HELD, day=HELD.valid_from) == word(HELD, day=HELD.valid_until) == "competent"
    assert word(HELD, day=HELD.valid_from - one) == "working_towards"
    assert word(HELD, day=HELD.valid_until + one) == "expired"


def test_a_suspension_outweighs_an_older_record_from_elsewhere():
    stopped = replace(HELD, id="r2", state="suspended", since=date(2026, 5, 1))
    assert word(HELD, stopped) == "suspended"
    assert word(HELD, stopped, day=date(2026, 4, 30)) == "competent"


def test_a_newer_record_lifts_a_suspension():
    stopped = replace(HELD, state="suspended", since=date(2026, 5, 1))
    newer = replace(HELD, id="r3", valid_from=date(2026, 5, 20), since=date(2026, 5, 20))
    assert word(stopped, newer) == "competent"


def test_states_change_only_for_the_worse():
    states = ("in_force", "suspended", "withdrawn", "replaced")
    allowed = {(a, b) for a in states for b in states if may_change(a, b)}
    assert allowed == {
        ("in_force", "suspended"),
        ("in_force", "withdrawn"),
        ("in_force", "replaced"),
        ("suspended", "withdrawn"),
    }


DAYS = st.dates(date(2025, 1, 1), date(2028, 1, 1))
RECORDS = st.builds(
    lambda ident, start, length, state, later: HeldRecord(
        ident, ALL, start, start + timedelta(days=length), state, start + timedelta(days=later)
    ),
    st.sampled_from("abc"),
    DAYS,
    st.integers(0, 730),
    st.sampled_from(["in_force", "suspended", "withdrawn", "replaced"]),
    st.integers(0, 400),
)


@given(st.lists(RECORDS, max_size=4, unique_by=lambda one: one.id), DAYS)
def test_competent_always_rests_on_a_record_in_force_that_day(records, day):
    found = standing_on(day, "fit", records, STARTED)
    held = [one for one in records if one.valid_from <= day <= one.valid_until]
    good = [one for one in held if one.state == "in_force" or one.since > day]
    assert found.word != "competent" or found.record in {one.id for one in good}
    assert standing_on(day, "fit", records[::-1], STARTED) == found


@pytest.mark.parametrize("ids", [("a", "b"), ("b", "a")])
@pytest.mark.parametrize(("lifted_at", "expected"), [(17, "competent"), (9, "suspended")])
def test_on_one_day_the_hour_tells_which_word_was_last(ids, lifted_at, expected):
    def at(hour):
        return datetime(DAY.year, DAY.month, DAY.day, hour, tzinfo=UTC)

    stopped = replace(HELD, id=ids[0], state="suspended", since=DAY, at=at(12))
    renewed = replace(HELD, id=ids[1], valid_from=DAY, since=DAY, at=at(lifted_at))
    assert word(stopped, renewed) == word(renewed, stopped) == expected


def test_a_kept_standing_ends_with_its_record():
    kept = standing_on(DAY, "fit", [HELD], STARTED)
    assert on_day(kept, HELD.valid_until) == kept
    assert on_day(kept, HELD.valid_until + timedelta(days=1)).word == "expired"
    stopped = standing_on(DAY, "fit", [replace(HELD, state="suspended")], STARTED)
    assert on_day(stopped, date(2030, 1, 1)) == stopped


def test_a_replaced_record_says_nothing_and_its_successor_says_the_same():
    old = replace(HELD, state="replaced", since=date(2026, 5, 1))
    new = replace(HELD, id="r2")
    assert word(old) == "working_towards"
    assert word(old, day=date(2026, 4, 30)) == "competent"
    assert standing_on(DAY, "fit", [old, new], STARTED).record == "r2"
