"""How often families are shown; whether a family's items are equally hard."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.stats import chi2_contingency
from statsmodels.stats.meta_analysis import combine_effects

from tests.support.chance import many
from trainer.core.measurement.analysis.exposure import exposure
from trainer.core.measurement.analysis.siblings import expected_right, variation

forms = arrays(
    float, st.tuples(st.integers(2, 8), st.integers(2, 10)), elements=st.sampled_from([0.0, 1.0])
)


@given(forms)
def test_overlap_is_the_mean_over_all_pairs(held):
    assume(held.any())
    found = exposure(held.sum(axis=0), len(held))
    shared = [(held[i] * held[j]).sum() for i, j in combinations(range(len(held)), 2)]
    assert found.overlap == pytest.approx(np.mean(shared) / held.sum(axis=1).mean())
    assert found.rates == pytest.approx(held.mean(axis=0))
    assert found.unused == (held.sum(axis=0) == 0).sum()


def test_equal_exposure_of_fixed_length_forms():
    """With all rates n / N the overlap tends to n / N as forms grow in number: Chen, Ankenmann &
    Spray 2003 (overlap = N / n variance of rates + n / N, for many forms)."""
    held = np.array([np.roll([1.0] * 5 + [0.0] * 15, place) for place in range(20)])
    assert exposure(200 * held.sum(axis=0), 4000).overlap == pytest.approx(5 / 20, abs=2e-4)


def test_counts_that_no_forms_can_have_are_refused():
    for counts, forms in ((np.zeros(4), 3), (np.array([4.0]), 3), (np.array([1.0]), 0)):
        with pytest.raises(ValueError, match="forms"):
            exposure(counts, forms)


def responses(chance, siblings, each, sd):
    shift = np.repeat(chance.normal(0, sd, siblings), each)
    ability = chance.normal(0, 1, siblings * each)
    expected = 1 / (1 + np.exp(-ability))
    right = chance.random(siblings * each) < 1 / (1 + np.exp(-(ability + shift)))
    return right.astype(float), expected, np.repeat([f"s{n}" for n in range(siblings)], each)


def test_with_one_probability_it_is_pearsons_chi_square():
    right = np.array([1, 1, 1, 0, 1, 0, 0, 0, 1, 1, 0, 0.0])
    sibling = np.repeat(["a", "b", "c"], 4)
    found = variation(right, np.full(12, right.mean()), sibling)
    table = [[right[sibling == s].sum(), 4 - right[sibling == s].sum()] for s in "abc"]
    q, p, df, _ = chi2_contingency(table, correction=False)
    assert (found.q, found.p_value, found.df) == pytest.approx((q, p, df))


def test_the_variance_is_dersimonian_and_lairds():
    right, expected, sibling = responses(many(3), 12, 40, 0.8)
    found = variation(right, expected, sibling)
    names = list(dict.fromkeys(sibling))
    weight = np.array([(expected * (1 - expected))[sibling == s].sum() for s in names])
    shift = np.array([(right - expected)[sibling == s].sum() for s in names]) / weight
    other = combine_effects(shift, 1 / weight, method_re="chi2", use_t=False)
    assert found.sd**2 == pytest.approx(other.tau2)
    assert found.q == pytest.approx(other.q)


def test_equal_siblings_are_rarely_called_different_and_unequal_ones_nearly_always():
    chance = many(11)
    alarms = [variation(*responses(chance, 20, 30, 0.0)).p_value < 0.05 for _ in range(400)]
    assert 0.02 <= np.mean(alarms) <= 0.09
    apart = [variation(*responses(chance, 20, 30, 0.8)) for _ in range(100)]
    assert np.mean([one.p_value < 0.05 for one in apart]) > 0.95
    assert np.mean([one.sd for one in apart]) == pytest.approx(0.8, abs=0.15)


def test_single_responses_say_nothing_and_are_left_out():
    right, expected = np.array([1, 0, 1, 1, 0.0]), np.full(5, 0.5)
    found = variation(right, expected, ["a", "a", "b", "b", "c"])
    assert found.siblings == 2 and set(found.shifts) == {"a", "b"}
    with pytest.raises(ValueError, match="two siblings"):
        variation(right[:3], expected[:3], ["a", "b", "c"])
    with pytest.raises(ValueError, match="outside"):
        variation(right, np.array([0.5, 0.5, 0.5, 0.5, 1.0]), ["a", "a", "b", "b", "c"])
    with pytest.raises(ValueError, match="len"):
        variation(right, expected[:2], ["a"] * 5)


def test_what_one_difficulty_leads_to_expect():
    """Its mean is the share that was right, and the able are expected to be right more often."""
    ability, right = np.array([-1.0, 0.0, 1.0, 2.0]), np.array([0.0, 1, 1, 1])
    expected = expected_right(ability, right, 0.2)
    assert expected.mean() == pytest.approx(0.75)
    assert (np.diff(expected) > 0).all() and expected.min() > 0.2
    for same in (np.ones(4), np.zeros(4), np.array([0.0, 0, 0, 1])):
        with pytest.raises(ValueError, match="share"):
            expected_right(ability, same, 0.3)
