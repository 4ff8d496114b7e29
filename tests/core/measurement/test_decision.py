"""The cut, the critical errors, and how sure a decision is."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.support.chance import many
from trainer.core.measurement.decision import Equated, decide, parameters, raw_needed
from trainer.core.measurement.priors import Difficulty, before_data
from trainer.core.measurement.response_model import ability_for_share

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


def test_a_panel_s_cut_takes_the_place_of_the_share():
    assert decide(marks(28), FORM, 0.75, 0, Equated(28, 0.7)).passed
    assert not decide(marks(27), FORM, 0.75, 0, Equated(28, 0.7)).passed
    same = Equated(30, ability_for_share(0.75, *parameters(FORM)))
    assert decide(marks(33), FORM, 0.75, 0, same) == decide(marks(33), FORM, 0.75, 0)


def simulated(people, forms, chance):
    """Decisions on people from N(0, 1), families whose true difficulty is as unsure as said:
    (stated probability, whether the decision was right)."""
    out = []
    for _ in range(forms):
        form = tuple(
            Difficulty(1.0, b, 0.5, floor)
            for b, floor in zip(
                chance.normal(0, 0.8, 40), chance.choice([0, 0.2, 0.25], 40), strict=True
            )
        )
        cut = ability_for_share(0.75, *parameters(form))
        for theta in chance.normal(0, 1, people):
            true_b = np.array([f.b for f in form]) + chance.normal(0, 0.5, 40)
            floor = np.array([f.floor for f in form])
            p = floor + (1 - floor) / (1 + np.exp(-(theta - true_b)))
            found = decide(tuple((chance.random(40) < p).tolist()), form, 0.75, 0, Equated(30, cut))
            out.append((found.confidence, found.reached_cut == (theta >= cut)))
    return np.array(out)


def test_what_is_said_of_being_right_holds_over_eight_thousand_decisions():
    """Stated and found within 3 points, over all and in every tenth with 500 decisions.

    `tests.benchmarks.decisions` tries many more.
    """
    said, right = simulated(400, 20, many(16)).T
    assert len(said) == 8_000
    assert right.mean() == pytest.approx(said.mean(), abs=0.03)
    for low in np.arange(0.5, 1.0, 0.1):
        there = (said >= low) & (said < low + 0.1 + 1e-9)
        if there.sum() >= 500:
            assert right[there].mean() == pytest.approx(said[there].mean(), abs=0.03), low
