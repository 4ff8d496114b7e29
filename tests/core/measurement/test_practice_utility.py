"""What comes first in practice, and that the reason is true."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.draw import Draw
from trainer.core.measurement.ability import Ability
from trainer.core.measurement.practice_utility import (
    Choice,
    goes_wrong,
    need,
    pick,
    rises,
    utility,
    why,
)
from trainer.core.measurement.priors import Difficulty

PLAIN = Choice("plain", "m/t", False, Ability(0.6, 0.5), 9, recall=0.98, days_since=1.0)
STANDARD = 0.8
choices = st.builds(
    Choice,
    st.text(min_size=1, max_size=3),
    st.just("m/t"),
    st.booleans(),
    st.builds(Ability, st.floats(-3, 3), st.floats(0.25, 1)),
    st.integers(0, 9),
    recall=st.none() | st.floats(0, 1),
    went_wrong=st.booleans(),
    days_since=st.none() | st.floats(0, 99),
    idea_days=st.none() | st.floats(0, 30),
    assigned=st.booleans(),
    due_days=st.none() | st.floats(-9, 30),
    just_now=st.booleans(),
    shown_ago=st.none() | st.integers(0, 30),
    part=st.floats(0, 1),
    share=st.floats(0, 1),
    difficulty=st.none()
    | st.builds(Difficulty, st.floats(0.3, 3), st.floats(-3, 3), st.just(0.5), st.just(0.2)),
)


def first(*found):
    return pick(found, STANDARD, Draw("x"))


@given(st.lists(choices, min_size=1, max_size=9), st.integers())
def test_the_one_picked_is_the_best_but_for_near_ties(found, seed):
    picked = pick(found, STANDARD, Draw(seed))
    best = max(utility(one) for one in found)
    assert utility(picked.choice) >= best - 0.05
    assert picked.reason == why(picked.choice, STANDARD)
    assert picked.reason.endswith(".") and picked.reason.count(".") <= 2


def test_what_was_assigned_comes_first():
    asked = replace(PLAIN, id="asked", ability=Ability(2.0, 0.3), assigned=True, due_days=2.5)
    wrong = replace(PLAIN, id="wrong", critical=True, went_wrong=True)
    picked = first(wrong, asked)
    assert picked.choice.id == "asked"
    assert picked.reason == "Your instructor asked for this. It is due in 2 days."


def test_a_near_date_weighs_more():
    late, soon = (replace(PLAIN, assigned=True, due_days=d) for d in (-1.0, 6.0))
    assert utility(late) > utility(soon)
    assert "passed" in first(late).reason


def test_safety_before_the_rest():
    fading = replace(PLAIN, recall=0.7)
    safety = replace(fading, id="safety", critical=True)
    assert first(fading, safety).choice.id == "safety"
    assert "Safety" in why(replace(PLAIN, critical=True), STANDARD)


def test_what_went_wrong_before_what_is_new_before_what_is_known():
    wrong = replace(PLAIN, id="wrong", went_wrong=True)
    new = replace(PLAIN, id="new", recall=None, days_since=None)
    assert need(wrong) > need(new) > need(PLAIN) > 0
    assert first(PLAIN, new, wrong).choice.id == "wrong"
    assert first(PLAIN, new).choice.id == "new"
    assert "went wrong last time" in why(wrong, STANDARD)
    assert "not met yet" in why(new, STANDARD)


def test_what_fades_comes_back_and_says_how_long():
    faded = replace(PLAIN, id="faded", recall=0.75, days_since=20.2)
    picked = first(PLAIN, faded)
    assert picked.choice.id == "faded"
    assert picked.reason == "You last did this 20 days ago, so it may be fading."


def test_a_wrong_idea_is_looked_for_again_until_it_is_old():
    lately, old = (replace(PLAIN, idea_days=days) for days in (1.0, 15.0))
    assert utility(lately) > utility(old) == utility(PLAIN)
    assert "wrong idea" in why(lately, STANDARD)


def test_not_the_same_again():
    again, other = replace(PLAIN, id="again", just_now=True, shown_ago=0), replace(PLAIN, id="b")
    assert first(again, other).choice.id == "b"


def test_what_is_below_the_standard_before_what_is_known():
    known = replace(PLAIN, id="known", ability=Ability(3.0, 0.5))
    assert first(known, PLAIN).choice.id == "plain"
    assert "well" in first(known).reason


def test_what_weighs_more_in_the_assessment_comes_first():
    light = replace(PLAIN, id="light", share=0.2, part=0.2)
    assert first(light, PLAIN).choice.id == "plain"


def test_an_answer_that_tells_more_comes_first():
    telling, dull = (
        replace(PLAIN, id=name, difficulty=Difficulty(1.0, b, 0.2, 0.2))
        for name, b in (("telling", 0.6), ("dull", 4.0))
    )
    assert first(dull, telling).choice.id == "telling"


def test_what_is_new_matters_less_to_those_who_are_able_there():
    new = replace(PLAIN, recall=None, days_since=None)
    able = replace(new, ability=Ability(2.5, 0.3))
    assert need(new) > need(able) > 0
    hard = replace(new, difficulty=Difficulty(1.0, 2.0, 0.2, 0.2))
    assert need(hard) > need(new)


@pytest.mark.parametrize("mean", [-3.0, -0.5, 0.0, 1.2])
def test_a_topic_is_worth_most_where_ability_moves_the_share_right_most(mean):
    """Against the curve itself: its slope by differences, over its steepest."""
    step, sd = 1e-5, 0.5
    low, high = (1 - goes_wrong(Ability(mean + by, sd)) for by in (-step, step))
    middle = [1 - goes_wrong(Ability(by, sd)) for by in (-step, step)]
    wanted = (high - low) / (middle[1] - middle[0])
    assert rises(Ability(mean, sd)) == pytest.approx(wanted, rel=1e-4)


def test_new_and_dangerous_says_so():
    assert "hurt" in first(replace(PLAIN, critical=True, responses=0, recall=None)).reason


def test_nothing_to_choose_from():
    with pytest.raises(ValueError, match="nothing"):
        pick([], STANDARD, Draw("x"))
