"""The curve and its information at the ends, and parameters that are none."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import expit

from trainer.core.measurement.ability import Ability, after, eap, grid
from trainer.core.measurement.evidence import check_marks
from trainer.core.measurement.person_fit import person_fit
from trainer.core.measurement.priors import Difficulty
from trainer.core.measurement.response_model import (
    ability_for,
    ability_for_share,
    information,
    probability,
)
from trainer.core.measurement.scores import score

NAN, INF = float("nan"), float("inf")
slopes, places, floors = st.floats(0.2, 3), st.floats(-3, 3), st.floats(0, 0.6)


def one(*values):
    return np.array(values, dtype=float)


@given(slopes, places, floors, places)
def test_information_is_the_squared_slope_over_the_variance(a, b, floor, theta):
    """Fisher's definition, the slope taken as a difference."""
    step = 1e-5
    low, p, high = (
        probability(one(theta + by), one(a), one(b), one(floor))[0, 0] for by in (-step, 0, step)
    )
    wanted = ((high - low) / (2 * step)) ** 2 / (p * (1 - p))
    assert information(one(theta), one(a), one(b), one(floor))[0, 0] == pytest.approx(wanted, 1e-5)


@given(slopes, places)
def test_all_information_of_a_family_without_floor_is_its_slope(a, b):
    """The area under a^2 P Q is a."""
    area, _ = quad(
        lambda x: information(one(x), one(a), one(b), one(0))[0, 0], b - 40 / a, b + 40 / a
    )
    assert area == pytest.approx(a, rel=1e-5)


@pytest.mark.parametrize("floor", [0.0, 0.25])
def test_far_away_a_family_says_nothing(floor):
    found = information(one(-900, 900), one(3), one(0), one(floor))
    assert found.ravel().tolist() == [0, 0]


@pytest.mark.parametrize(
    ("a", "b", "floor"),
    [(NAN, 0, 0), (INF, 0, 0), (0, 0, 0), (1, NAN, 0), (1, INF, 0), (1, 0, NAN), (1, 0, 1)],
)
def test_a_family_without_parameters_is_named(a, b, floor):
    with pytest.raises(ValueError, match="family 1"):
        probability(one(0), one(1, a), one(0, b), one(0, floor))
    with pytest.raises(ValueError, match="family 1"):
        eap(np.ones((1, 2)), one(1, a), one(0, b), one(0, floor), grid())


def test_abilities_that_nobody_has():
    with pytest.raises(ValueError, match="no ability within"):
        ability_for_share(0.99, one(0.05), one(0), one(0))
    with pytest.raises(ValueError, match="no families"):
        ability_for_share(0.5, one(), one(), one())
    with pytest.raises(ValueError, match="not above 0"):
        ability_for(0.5, -1, 0, 0)


@pytest.mark.parametrize("mark", [0.5, 2.0, -1.0])
def test_half_a_mark_is_refused_not_passed_over(mark):
    with pytest.raises(ValueError, match="neither 1 nor 0"):
        eap(np.array([[1.0, mark]]), one(1, 1), one(0, 0), one(0, 0), grid())


def test_other_marks_are_refused():
    with pytest.raises(ValueError, match="7"):
        check_marks(np.array([7], np.int8))
    with pytest.raises(ValueError, match="7"):
        score(np.array([[7]], np.int8), one(1), one(0), one(0), "map")


def test_a_step_against_all_odds_still_has_an_answer():
    """Wrong where the chance of it rounds to 0: found as the integral over the line has it."""
    family, before = Difficulty(6.0, -6.0, 0.0, 0.0), Ability(6.0, 0.5)

    def weight(theta, power):
        size = np.exp(-(((theta - before.mean) / before.sd) ** 2) / 2 + 70)
        return theta**power * size * expit(-family.slope * (theta - family.b))

    total, first = (quad(weight, 0, 9, args=(power,), points=[4.5])[0] for power in (0, 1))
    assert after(before, False, family).mean == pytest.approx(first / total, abs=0.03)


@pytest.mark.parametrize("right", [0, 1])
@pytest.mark.parametrize("floor", [0.0, 0.25])
def test_person_fit_of_one_kind_of_answer_is_a_number(right, floor):
    marks = np.full((1, 12), right, np.int8)
    found = person_fit(marks, np.full(12, 6.0), np.linspace(-8, 3, 12), np.full(12, floor))
    assert np.isfinite([found.lz[0], found.hard[0], found.easy[0]]).all()
