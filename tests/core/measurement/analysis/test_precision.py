"""The error where somebody stands."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.support.references import complete
from trainer.core.measurement.analysis.precision import (
    ability_error,
    binomial_error,
    corrected_error,
    score_error,
)
from trainer.core.measurement.analysis.reliability import reliability


@pytest.mark.parametrize(
    ("score", "items", "error"), [(25, 50, 3.5714), (0, 50, 0), (40, 50, 2.8571)]
)
def test_lords_binomial_error(score, items, error):
    """sqrt(x (k - x) / (k - 1)), worked by hand: 25 of 50 is sqrt(625 / 49)."""
    assert binomial_error(np.array([score]), items)[0] == pytest.approx(error, abs=5e-5)


@pytest.mark.parametrize("name", ["lsat6", "ability16"])
def test_on_the_average_lords_error_is_that_of_kr21_and_the_corrected_one_that_of_kr20(name):
    """The mean of the squared errors is s2 (1 - KR-21): Lord 1955; s2 (1 - KR-20): Keats 1957."""
    _, marks = complete(name)
    total, k, whole = marks.sum(axis=1), marks.shape[1], reliability(marks)
    plain = binomial_error(total, k)
    better = corrected_error(total, k, whole.kr20, whole.kr21)
    assert (plain**2).mean() == pytest.approx(total.var() * (1 - whole.kr21))
    assert (better**2).mean() == pytest.approx(total.var() * (1 - whole.kr20))


@given(st.floats(-3, 3), st.integers(2, 60))
def test_equal_items_have_closed_forms(theta, items):
    a, b, none = np.full(items, 1.2), np.zeros(items), np.zeros(items)
    p = 1 / (1 + np.exp(-1.2 * theta))
    at = np.array([theta])
    assert ability_error(at, a, b, none)[0] == pytest.approx(
        1 / np.sqrt(items * 1.44 * p * (1 - p))
    )
    assert score_error(at, a, b, none)[0] == pytest.approx(np.sqrt(items * p * (1 - p)))


def test_scores_out_of_range_are_refused():
    for score, items in ((6, 5), (-1, 5), (0, 1)):
        with pytest.raises(ValueError, match="items"):
            binomial_error(np.array([score]), items)
    with pytest.raises(ValueError, match="kr20"):
        corrected_error(np.array([1]), 5, 1.0, 0.5)
