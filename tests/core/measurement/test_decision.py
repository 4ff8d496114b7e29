"""The cut, the critical errors, and how sure a decision is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.measurement.decision import decide, raw_needed
from trainer.core.measurement.priors import before_data

FORM = tuple(before_data("working", {}, 0.25) for _ in range(40))


def marks(right):
    return (True,) * right + (False,) * (40 - right)


@pytest.mark.parametrize(
    ("items", "share", "needed"), [(40, 0.75, 30), (40, 0.8, 32), (24, 0.75, 18), (10, 0.33, 4)]
)
def test_the_raw_score_needed(items, share, needed):
    assert raw_needed(items, share) == needed


@given(st.integers(0, 40), st.integers(0, 3))
def test_passed_means_cut_reached_and_nothing_unresolved(right, unresolved):
    decision = decide(marks(right), FORM, 0.75, unresolved)
    assert decision.passed is (right >= 30 and unresolved == 0)
    assert decision.reached_cut is (right >= 30)
    assert 0 <= decision.confidence <= 1


def test_the_middle_is_less_sure_than_the_ends():
    sure = [decide(marks(n), FORM, 0.75, 0).confidence for n in (10, 29, 30, 40)]
    assert sure[0] > 0.95 and sure[3] > 0.95
    assert max(sure[1], sure[2]) < 0.8
    assert decide(marks(30), FORM, 0.75, 0).borderline
    assert not decide(marks(40), FORM, 0.75, 0).borderline


@pytest.mark.parametrize(("items", "share"), [(0, 0.5), (10, 0.0), (10, 1.1)])
def test_no_cut_for_nothing(items, share):
    with pytest.raises(ValueError, match="share"):
        raw_needed(items, share)
