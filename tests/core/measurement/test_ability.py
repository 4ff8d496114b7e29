"""Ability against published and recomputed values, and what must hold whatever the numbers."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from trainer.core.measurement.ability import (
    SD_FLOOR,
    Ability,
    after,
    band,
    chance_above,
    eap,
    grid,
)
from trainer.core.measurement.priors import Difficulty, before_data
from trainer.core.measurement.response_model import (
    ability_for,
    ability_for_share,
    expected_score,
    information,
    probability,
)

LINES = (Path(__file__).parent / "references" / "lsat6_eap.csv").read_text().splitlines()
A, B = (
    np.array([float(word) for word in line.split()[2:]])
    for line in LINES
    if line.startswith(("# a ", "# b "))
)
PATTERNS = [line.split(",") for line in LINES if line[0] in "01"]
NONE = np.zeros(5)
abilities = st.builds(Ability, st.floats(-3, 3), st.floats(SD_FLOOR, 1.0))
difficulties = st.builds(
    Difficulty, st.floats(0.3, 2.5), st.floats(-2, 2), st.floats(0, 1), st.floats(0, 0.5)
)

gentle = st.builds(
    Difficulty, st.floats(0.3, 1.0), st.floats(-2, 2), st.floats(0, 1), st.floats(0, 0.5)
)
"""Slopes up to 1, as families have before data. One step at a time errs more on steep ones."""


def test_every_pattern_of_lsat6_gets_its_ability():
    assert len(PATTERNS) == 32
    responses = np.array([[float(mark) for mark in pattern] for pattern, _, _ in PATTERNS])
    mean, sd = eap(responses, A, B, NONE, grid())
    assert mean == pytest.approx([float(value) for _, value, _ in PATTERNS], abs=5e-5)
    assert sd == pytest.approx([float(value) for _, _, value in PATTERNS], abs=5e-5)


def test_nothing_right_in_lsat6():
    mean, _ = eap(np.zeros((1, 5)), A, B, NONE, grid())
    assert mean[0] == pytest.approx(-1.8968, abs=1e-4)


def test_baker_three_items():
    """Baker 2001, The Basics of Item Response Theory, ch. 5: theta .3249, standard error 1.23."""
    a, b, floor = np.array([1.0, 1.2, 0.8]), np.array([-1.0, 0.0, 1.0]), np.zeros(3)
    said = np.array([1.0, 0.0, 1.0])
    theta = brentq(
        lambda t: float((a * (said - probability(np.array([t]), a, b, floor)[0])).sum()), -4, 4
    )
    assert theta == pytest.approx(0.3249, abs=1e-4)
    at = information(np.array([theta]), a, b, floor).sum()
    assert 1 / np.sqrt(at) == pytest.approx(1.23, abs=5e-3)


def test_without_responses_the_prior_stays():
    mean, sd = eap(np.full((1, 5), np.nan), A, B, NONE, grid())
    assert (mean[0], sd[0]) == pytest.approx((0.0, 1.0), abs=1e-4)


@pytest.mark.parametrize(
    ("responses", "a", "floor"),
    [
        (np.zeros((1, 4)), A, NONE),
        (np.zeros(5), A, NONE),
        (np.zeros((1, 5)), -A, NONE),
        (np.zeros((1, 5)), A, NONE + 1),
    ],
)
def test_what_does_not_fit_is_refused(responses, a, floor):
    with pytest.raises(ValueError, match="="):
        eap(responses, a, B, floor, grid())


@given(abilities, difficulties)
def test_a_right_response_raises_and_a_wrong_one_lowers(before, family):
    assert after(before, True, family).mean > before.mean > after(before, False, family).mean


@given(abilities, difficulties, st.booleans())
def test_the_spread_never_falls_below_its_floor(before, family, right):
    assert after(before, right, family).sd >= SD_FLOOR


@given(st.lists(st.tuples(st.booleans(), gentle), min_size=1, max_size=6))
def test_one_step_at_a_time_comes_close_to_all_at_once(answers):
    step = Ability()
    for right, family in answers:
        step = after(step, right, family)
    slopes = np.array([family.slope for _, family in answers])
    b = np.array([family.b for _, family in answers])
    floor = np.array([family.floor for _, family in answers])
    marks = np.array([[float(right) for right, _ in answers]])
    mean, _ = eap(marks, slopes, b, floor, grid())
    assert step.mean == pytest.approx(float(mean[0]), abs=0.1)


@given(difficulties, st.floats(0.05, 0.95))
def test_the_ability_for_a_share_gives_that_share(family, part):
    share = family.floor + part * (1 - family.floor)
    theta = ability_for(share, family.a, family.b, family.floor)
    one = (np.array([family.a]), np.array([family.b]), np.array([family.floor]))
    assert expected_score(theta, *one) == pytest.approx(share)
    assert ability_for_share(share, *one) == pytest.approx(theta, abs=1e-6)


def test_guessing_alone_has_no_ability():
    with pytest.raises(ValueError, match="guessing"):
        ability_for_share(0.2, np.ones(2), np.zeros(2), np.full(2, 0.25))


@given(abilities, st.floats(-2, 2))
def test_bands_agree_with_the_chance(ability, standard):
    chance = chance_above(ability, standard)
    assert 0 <= chance <= 1
    if band(ability, standard) == "above":
        assert chance >= 0.9
    if band(ability, standard) == "below":
        assert chance <= 0.1 + 1e-9


def test_a_newcomer_is_unknown_rather_than_bad():
    assert band(Ability(), 0.8) == "unknown"


def test_what_is_harder_in_kind_starts_harder():
    plain = before_data("working", {}, 0.25)
    assert before_data("advanced", {}, 0.25).b > plain.b > before_data("foundation", {}, 0.25).b
    assert before_data("working", {"nearness": 1.0}, 0.25).b > plain.b
    assert before_data("working", {"colour": 9.0}, 0.25) == plain
    assert plain.slope < plain.a
    assert -2 <= before_data("advanced", {"cues": 50.0}, 0.25).b <= 2
