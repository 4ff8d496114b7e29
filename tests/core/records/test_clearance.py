"""Clearance: every standing has its answer, a reason, and what would change it."""

from dataclasses import replace
from datetime import date
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.records import grounds, house_rules, top_up
from trainer.core.records.asked import ANSWERS, Ground
from trainer.core.records.clearance import GIVES, Question, answer_to, clear
from trainer.core.records.house_rules import Backing, HouseRules, strictest
from trainer.core.records.standing import Progress, Standing

ASKED = Question("Noor Haddad", "tape-in", "fit", date(2026, 6, 1))
NOTHING = Progress(started=False, passed_on=None, observed=frozenset())
PASSED = replace(NOTHING, started=True, passed_on=date(2026, 5, 1))
PLAIN = HouseRules(grace_days=30)


def answer(standing, progress=NOTHING, asked=ASKED):
    return clear(asked, standing, progress, PLAIN)


@pytest.mark.parametrize(
    ("standing", "progress", "service", "expected"),
    [
        (Standing("competent", date(2026, 12, 31), "r1"), NOTHING, "fit", "cleared"),
        (Standing("suspended", date(2026, 5, 1), "r1"), PASSED, "consult", "not_cleared"),
        (Standing("withdrawn", date(2026, 5, 1), "r1"), PASSED, "fit", "not_cleared"),
        (Standing("expired", date(2026, 5, 2), "r1"), NOTHING, "fit", "supervised_only"),
        (Standing("expired", date(2026, 5, 1), "r1"), NOTHING, "fit", "not_cleared"),
        (Standing("expired", date(2025, 5, 1), "r1"), PASSED, "fit", "supervised_only"),
        (Standing("expired", date(2025, 5, 1), "r1"), PASSED, "consult", "cleared"),
        (Standing("working_towards"), PASSED, "fit", "supervised_only"),
        (Standing("working_towards"), PASSED, "aftercare", "cleared"),
        (Standing("working_towards"), replace(NOTHING, started=True), "consult", "not_cleared"),
        (Standing("not_started"), NOTHING, "fit", "not_cleared"),
    ],
)
def test_the_answer_for_a_standing(standing, progress, service, expected):
    found = answer(standing, progress, replace(ASKED, service=service))
    assert found.answer == expected, found


def test_it_names_what_is_still_to_be_observed():
    progress = replace(PASSED, observed=frozenset({"fit"}))
    assert answer(Standing("working_towards"), progress).would_change_it == (
        "Still to be observed: maintain, remove."
    )


def test_an_assessment_passed_later_does_not_count_on_the_day():
    later = replace(PASSED, passed_on=date(2026, 6, 2))
    assert answer(Standing("working_towards"), later).answer == "not_cleared"


WORDS = ["not_started", "working_towards", "competent", "expired", "suspended", "withdrawn"]


@given(
    st.sampled_from(WORDS),
    st.sampled_from([NOTHING, PASSED]),
    st.sampled_from(["consult", "fit", "maintain", "remove", "aftercare"]),
)
def test_no_answer_goes_out_bare(word, progress, service):
    found = answer(Standing(word, date(2026, 5, 20)), progress, replace(ASKED, service=service))
    assert found.reason and found.would_change_it
    assert "Consultation and patch test still come first" in found.reminder
    assert found.answer == "not_cleared" or word not in ("suspended", "withdrawn")


COMPETENT = Standing("competent", date(2026, 12, 31), "r1")
RULES = st.builds(
    HouseRules,
    st.integers(0, 90),
    st.booleans(),
    st.integers(0, 24),
    st.integers(0, 5),
    st.none() | st.integers(0, 14),
)
BACKINGS = st.builds(
    Backing,
    st.none() | st.dates(date(2024, 1, 1), date(2026, 5, 1)),
    st.none() | st.dates(date(2026, 1, 1), date(2026, 12, 31)),
    st.integers(0, 6),
    st.lists(
        st.builds(
            top_up.TopUp,
            st.just("So."),
            st.just(date(2026, 4, 1)),
            st.dates(date(2026, 5, 20), date(2026, 6, 10)),
            st.booleans(),
            st.none() | st.dates(date(2026, 5, 20), date(2026, 6, 10)),
        ),
        max_size=2,
    ).map(tuple),
)
SERVICES = st.sampled_from(["consult", "fit", "maintain", "remove", "aftercare"])


@given(st.sampled_from(WORDS), st.sampled_from([NOTHING, PASSED]), SERVICES, RULES, RULES, BACKINGS)
def test_more_rules_are_never_looser(word, progress, service, one, other, backing):
    asked = replace(ASKED, service=service)
    standing = Standing(word, date(2026, 5, 20), "r1")
    both = strictest([one, other])

    def place(rules):
        return ANSWERS.index(clear(asked, standing, progress, rules, backing=backing).answer)

    assert place(both) <= min(place(one), place(other))
    assert place(one) <= place(HouseRules(one.grace_days))


STANDINGS = st.builds(
    Standing,
    st.sampled_from([*WORDS, "marked", "unchecked"]),
    st.none() | st.dates(date(2026, 4, 1), date(2026, 7, 1)),
)


@given(STANDINGS, st.sampled_from([NOTHING, PASSED]), SERVICES, RULES, BACKINGS, st.booleans())
def test_the_answer_alone_is_the_answer_with_its_words(
    standing, progress, service, rules, backing, all_observed
):
    observed = ("fit", "maintain", "remove") if all_observed else ("fit",)
    asked = replace(ASKED, service=service)
    found = clear(asked, standing, progress, rules, observed, backing)
    alone = answer_to(service, asked.on, standing, progress, rules, observed, backing)
    assert alone == found.answer


@pytest.mark.parametrize(
    ("rules", "backing", "ground"),
    [
        (HouseRules(30, second_observation=True), Backing(), "house_second_observation"),
        (
            HouseRules(30, second_observation=True),
            Backing(second_on=date(2026, 6, 2)),
            "house_second_observation",
        ),
        (HouseRules(30, refresh_months=6), Backing(date(2025, 11, 30)), "house_refresh"),
        (HouseRules(30, supervised_clients=3), Backing(supervised=2), "house_first_clients"),
    ],
)
def test_a_house_rule_sets_back_and_says_why(rules, backing, ground):
    found = clear(ASKED, COMPETENT, NOTHING, rules, backing=backing)
    assert found.answer == "supervised_only"
    assert [one.ground for one in found.reasons] == [ground, "record_in_force"]
    consult = clear(replace(ASKED, service="consult"), COMPETENT, NOTHING, rules, backing=backing)
    assert consult.answer == "cleared"


def test_every_ground_has_its_words():
    told = {*grounds.SAID, *house_rules.SAID, top_up.OVERDUE, top_up.DUE, "emergency"}
    assert told == set(get_args(Ground)) and set(GIVES) == set(grounds.SAID)


def test_a_house_rule_that_is_met_says_nothing():
    rules = HouseRules(0, True, 6, 3)
    backing = Backing(date(2025, 12, 1), date(2026, 6, 1), 3)
    found = clear(ASKED, COMPETENT, NOTHING, rules, backing=backing)
    assert (found.answer, len(found.reasons)) == ("cleared", 1)


def test_rules_below_nothing_are_refused():
    with pytest.raises(ValueError, match="less than nothing"):
        HouseRules(-1)
    with pytest.raises(ValueError, match="status_days=-1"):
        HouseRules(0, status_days=-1)


URGENT = replace(ASKED, service="remove", urgent=True)
STRICT = HouseRules(0, True, 1, 9)


@pytest.mark.parametrize(
    ("standing", "progress", "expected"),
    [
        (COMPETENT, NOTHING, "cleared"),
        (Standing("expired", date(2026, 3, 3), "r1"), NOTHING, "supervised_only"),
        (Standing("expired", date(2026, 3, 2), "r1"), NOTHING, "not_cleared"),
        (Standing("suspended", date(2026, 5, 30), "r1"), PASSED, "not_cleared"),
        (Standing("working_towards"), PASSED, "supervised_only"),
        (Standing("working_towards"), NOTHING, "not_cleared"),
        (Standing("not_started"), NOTHING, "not_cleared"),
    ],
)
def test_a_removal_that_cannot_wait_has_its_own_rule(standing, progress, expected):
    found = clear(URGENT, standing, progress, STRICT, ended_days=90)
    assert found.answer == expected, found
    assert found.reasons[-1].ground == "emergency"
    untrained = "Nobody who is not trained forces it" in found.reason
    assert untrained is (expected == "not_cleared")


def test_only_a_removal_is_urgent():
    with pytest.raises(ValueError, match="fit"):
        clear(replace(ASKED, urgent=True), COMPETENT, NOTHING, PLAIN)
