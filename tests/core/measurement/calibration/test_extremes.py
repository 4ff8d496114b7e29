"""Responses that leave a parameter without a value, or against all odds: said, not made up."""

import numpy as np
import pytest

from tests.core.measurement.calibration.simulated import simulated
from trainer.core.draw import Draw
from trainer.core.measurement.calibration.conditional import conditional_rasch
from trainer.core.measurement.calibration.estimate import estimate, evidence_of
from trainer.core.measurement.calibration.mean_squares import at_ability, over_posterior
from trainer.core.measurement.calibration.one_parameter import OneParameter
from trainer.core.measurement.calibration.prior import DEFAULT
from trainer.core.measurement.calibration.score_groups import s_x2
from trainer.core.measurement.calibration.two_parameter import TwoParameter
from trainer.core.measurement.evidence import from_marks


def estimated(marks, model, floor=0.0, **prior):
    return estimate(evidence_of(marks), np.full(marks.shape[1], floor), model, **prior)


def test_two_families_that_exclude_each_other_have_no_difficulty():
    """The common slope falls to 0, and difficulty is -d / a."""
    found = estimated(np.array([[1, 0], [0, 1]] * 50, np.int8), OneParameter())
    assert not found.converged
    assert found.se_b.max() > 100


@pytest.mark.parametrize("model", [OneParameter(), TwoParameter()])
def test_perfect_order_has_no_slope_but_one_under_a_prior(model):
    """Guttman's pattern: whoever gets a harder family right gets all easier ones right."""
    marks = np.array([[1] * right + [0] * (6 - right) for right in range(7)] * 10, np.int8)
    assert not estimated(marks, model).converged
    held = estimated(marks, model, prior=DEFAULT)
    assert held.converged and (np.diff(held.b) > 0).all() and held.a.max() < 10


def test_one_answer_a_person_tells_no_slope():
    marks, *_ = simulated(300, 5, 2)
    only = np.arange(300)[:, None] % 5 == np.arange(5)
    assert not estimated(np.where(only, marks, -1).astype(np.int8), TwoParameter()).converged


def test_a_floor_that_is_no_number_is_refused():
    with pytest.raises(ValueError, match="floor"):
        estimated(simulated(50, 4, 1)[0], TwoParameter(), floor=np.nan, prior=DEFAULT)


def test_conditional_errors_hold_for_long_tests():
    """Where all families are alike the information is c (I - J / k), so that every error is
    sqrt((k - 1) / (k c)), c = sum n_r r (k - r) / (k (k - 1)): from the symmetric functions of
    equal arguments."""
    k, people = 60, 400
    draw = Draw("alike", 1)
    marks = np.array([draw.shuffled([1] * 30 + [0] * 30) for _ in range(people)], np.int8)
    both = np.vstack([marks, 1 - marks])  # every family is right as often: b = 0
    found = conditional_rasch(both)
    c = 2 * people * 30 * 30 / (k * (k - 1))
    assert found.b == pytest.approx(np.zeros(k), abs=1e-9)
    assert found.se_b == pytest.approx(np.full(k, np.sqrt((k - 1) / (k * c))), rel=1e-6)


def test_families_beyond_comparison_have_no_conditional_estimate():
    """Nobody misses one of the first two and gets one of the last two right (Fischer 1981)."""
    rows = [[1, 1, 0, 0], [1, 1, 1, 0], [1, 1, 0, 1], [1, 0, 0, 0], [0, 1, 0, 0]]
    with pytest.raises(ValueError, match="no maximum"):
        conditional_rasch(np.array(rows * 5, np.int8))
    with pytest.raises(ValueError, match="missing"):
        conditional_rasch(np.array([[1, -1], [0, 1]], np.int8))


def test_fit_where_a_chance_rounds_to_one():
    sure, none = np.full(3, 2.0), np.zeros(3)
    marks = np.array([[1, 0, 1], [0, 1, 0], [1, 1, 1]], np.int8)
    all_right = at_ability(marks, np.array([0.0, 0.0, 30.0]), sure, none, none)
    assert np.isfinite(all_right.outfit).all() and all_right.outfit.max() < 2
    against = at_ability(1 - marks, np.array([0.0, 0.0, 30.0]), sure, none, none)
    assert np.isfinite(against.outfit).all() and against.outfit.min() > 100
    steep = over_posterior(from_marks(marks), np.full(3, 9.0), np.array([-4.0, 0, 4]), none)
    assert np.isfinite(steep.outfit).all() and np.isfinite(steep.infit).all()


def test_few_people_leave_no_score_groups():
    found = s_x2(simulated(3, 5, 1)[0], np.ones(5), np.zeros(5), np.zeros(5))
    assert np.isnan(found.p).all() and (found.df >= 0).all()
