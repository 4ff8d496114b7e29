"""What a number of answers can show: the formula beside drawn tables."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.support.chance import many
from trainer.core.measurement.analysis.differences import from_tables
from trainer.core.measurement.analysis.power import UNSURE, share_beside, shown_as_large

DRAWN, STRATA = 1500, 5


def drawn(people, delta):
    """Tables of two groups of so many people each, the second one's odds lower by `delta`."""
    chance, each = many(people), people // STRATA
    share = np.linspace(0.5, 0.9, STRATA)
    other = np.array([share_beside(one, delta) for one in share])
    right, beside = (
        chance.binomial(each, one[:, None], (STRATA, DRAWN)).astype(float) for one in (share, other)
    )
    return from_tables(right, each - right, beside, each - beside)


@pytest.mark.parametrize("people", [50, 100, 300, 1000])
def test_a_difference_of_that_size_is_large_four_times_in_five(people):
    error = float(np.median(drawn(people, 2.0).se_delta))
    found = drawn(people, shown_as_large(error))
    assert np.mean([one == "C" for one in found.classes()]) == pytest.approx(0.8, abs=0.08)


def test_with_the_largest_error_that_counts_a_large_difference_is_significant_as_often():
    found = drawn(200, 1.5)
    assert np.median(found.se_delta) == pytest.approx(UNSURE, abs=0.02)
    assert found.flagged.mean() == pytest.approx(0.8, abs=0.05)


@given(st.floats(0.05, 0.95), st.floats(0, 5))
def test_the_other_share_is_as_far_off_as_delta_says(share, delta):
    other = share_beside(share, delta)
    odds = share / (1 - share) / (other / (1 - other))
    assert 2.35 * np.log(odds) == pytest.approx(delta, abs=1e-9)


@pytest.mark.parametrize(
    "refused",
    [
        lambda: shown_as_large(0.0),
        lambda: shown_as_large(float("nan")),
        lambda: share_beside(1.0, 1),
        lambda: share_beside(0.5, -1),
    ],
)
def test_what_makes_no_sense_is_refused(refused):
    with pytest.raises(ValueError, match="="):
        refused()
