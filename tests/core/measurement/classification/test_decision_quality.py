"""Accuracy and consistency of decisions against values of other programs, row by row."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import betabinom

from tests.support.chance import many
from tests.support.references import agrees, by_name, expected
from trainer.core.measurement.analysis.reliability import lengthened
from trainer.core.measurement.classification import lee, livingston_lewis, rudner
from trainer.core.measurement.classification.livingston_lewis import TrueScores
from trainer.core.measurement.classification.people import abilities, spread

ROWS = expected("ability16_decision")
COUNTS = [int(row.value) for row in ROWS if row.quantity == "score_count"]
SCORES = np.repeat(np.arange(17.0), COUNTS)
A, B = (
    np.array([row.value for row in ROWS if row.quantity == name]) for name in ("item_a", "item_b")
)
NONE = np.zeros(16)
THETA, WEIGHTS = abilities()
LL = livingston_lewis.from_scores(SCORES, 0.828, 11, 16)
BETA4 = livingston_lewis.pass_fail(TrueScores(6, 3, 0.1, 0.95), 40, 26, 26 / 40)
MOMENTS = livingston_lewis.true_scores(SCORES.mean(), SCORES.var(ddof=1), 0.828, 16)
LENGTH = livingston_lewis.effective_length(SCORES.mean(), SCORES.var(ddof=1), 0.828, 0, 16)
MARGINAL = WEIGHTS @ lee.score_distribution(1 / (1 + np.exp(-A * (THETA[:, None] - B))))


def by_irt(how, cuts):
    found = how.classify(THETA, WEIGHTS, A, B, NONE, cuts)
    return {"accuracy": found.accuracy, "consistency": found.consistency}


IRT = {
    "lee": by_irt(lee, (11,)),
    "lee_3cat": by_irt(lee, (6, 10)),
    "rudner": by_irt(rudner, (0.25,)),
    "rudner_3cat": by_irt(rudner, (-0.5, 0.75)),
}
GIVEN = {
    "reliability": 0.828,
    "cut": 11,
    "max_score": len(A),
    "ll_effective_length": LENGTH,
    "ll_alpha": MOMENTS.alpha,
    "ll_beta": MOMENTS.beta,
}


def found_for(row):
    if row.quantity in IRT:
        return IRT[row.quantity][row.key.split()[0]]
    if row.quantity in GIVEN:
        return GIVEN[row.quantity]
    part, _, what = row.quantity.partition("_")
    if part in ("ll", "beta4"):
        return getattr({"ll": LL, "beta4": BETA4}[part], what)
    place = int(row.key)
    return {
        "score_count": lambda: (place == SCORES).sum(),
        "item_a": lambda: A[place - 1],
        "item_b": lambda: B[place - 1],
        "marginal_score_probability": lambda: MARGINAL[place],
    }[row.quantity]()


@pytest.mark.parametrize("row", ROWS, ids=by_name)
def test_every_expected_value(row):
    agrees(found_for(row), row)


def test_the_four_shares_of_a_raw_cut_add_up_to_lees_figures():
    four = lee.pass_fail(THETA, WEIGHTS, A, B, NONE, 11)
    assert four.accuracy == pytest.approx(IRT["lee"]["accuracy"])
    assert four.consistency == pytest.approx(IRT["lee"]["consistency"])
    assert four.marginal == pytest.approx(MARGINAL[11:].sum())
    assert four.pass_pass + four.fail_fail + four.false_pass + four.false_fail == pytest.approx(1)


@settings(max_examples=30)
@given(
    st.floats(0.6, 12),
    st.floats(0.6, 12),
    st.floats(0, 0.3),
    st.floats(0.7, 1),
    st.integers(5, 80),
    st.floats(0.2, 0.9),
)
def test_what_holds_of_any_beta(alpha, beta, low, high, items, share):
    cut = max(1, round(share * items))
    found = livingston_lewis.pass_fail(TrueScores(alpha, beta, low, high), items, cut, share)
    parts = (found.pass_pass, found.fail_fail, found.false_pass, found.false_fail)
    assert sum(parts) == pytest.approx(1) and min(parts) > -1e-9
    assert 0.5 - 1e-9 <= found.consistency <= 1 + 1e-9
    assert found.kappa <= 1 + 1e-9
    swapped = livingston_lewis.pass_fail(TrueScores(alpha, beta, low, high), items, 0, share)
    assert swapped.marginal == pytest.approx(1)


@settings(max_examples=30)
@given(st.integers(1, 12), st.integers(1, 12), st.integers(2, 40), st.data())
def test_the_share_that_passes_is_the_beta_binomials(alpha, beta, items, data):
    """The integral over true proportions has a closed form: scipy's beta-binomial."""
    cut = data.draw(st.integers(0, items))
    found = livingston_lewis.pass_fail(TrueScores(alpha, beta), items, cut, 0.6)
    assert found.marginal == pytest.approx(betabinom.sf(cut - 1, items, alpha, beta), abs=1e-9)


def test_a_longer_form_decides_better_and_as_simulation_finds():
    four = np.tile(A, 4), np.tile(B, 4), np.tile(NONE, 4)
    longer = lee.pass_fail(THETA, WEIGHTS, *four, 44)
    assert longer.accuracy > IRT["lee"]["accuracy"] + 0.03
    chance = many(4)
    theta = chance.choice(THETA, 200_000, p=WEIGHTS)
    p = 1 / (1 + np.exp(-A * (theta[:, None] - B)))
    first, second = ((chance.random(p.shape) < p).sum(axis=1) >= 11 for _ in range(2))
    able = p.sum(axis=1) > 11
    assert (first == able).mean() == pytest.approx(IRT["lee"]["accuracy"], abs=0.004)
    assert (first == second).mean() == pytest.approx(IRT["lee"]["consistency"], abs=0.004)


@pytest.mark.parametrize("true_cut", [10.6, 11.4])
def test_a_cut_between_two_scores_as_simulation_finds(true_cut):
    """Whoever's expected score is above the cut is able; the form asks for a whole number."""
    found = lee.pass_fail(THETA, WEIGHTS, A, B, NONE, 11, true_cut)
    chance = many(6)
    theta = chance.choice(THETA, 200_000, p=WEIGHTS)
    p = 1 / (1 + np.exp(-A * (theta[:, None] - B)))
    passed, able = (chance.random(p.shape) < p).sum(axis=1) >= 11, p.sum(axis=1) > true_cut
    assert found.false_pass == pytest.approx((passed & ~able).mean(), abs=0.003)
    assert found.false_fail == pytest.approx((~passed & able).mean(), abs=0.003)
    assert found.marginal == pytest.approx(passed.mean(), abs=0.004)


def test_rudner_as_simulation_finds():
    chance = many(5)
    theta = chance.choice(THETA, 200_000, p=WEIGHTS)
    p = 1 / (1 + np.exp(-A * (theta[:, None] - B)))
    error = 1 / np.sqrt((A**2 * p * (1 - p)).sum(axis=1))
    seen = theta + error * chance.normal(size=len(theta))
    assert ((seen >= 0.25) == (theta >= 0.25)).mean() == pytest.approx(
        IRT["rudner"]["accuracy"], abs=0.004
    )


def test_the_effective_length_of_binomial_scores_is_their_length():
    """For scores that are binomial over a beta, KR-21 is the reliability and n comes back."""
    n, alpha, beta = 30, 6, 4
    mean = n * alpha / (alpha + beta)
    variance = mean * (1 - alpha / (alpha + beta)) * (alpha + beta + n) / (alpha + beta + 1)
    kr21 = n / (n - 1) * (1 - mean * (n - mean) / (n * variance))
    assert livingston_lewis.effective_length(mean, variance, kr21, 0, n) == pytest.approx(n)
    found = livingston_lewis.true_scores(mean, variance, kr21, n)
    assert (found.alpha, found.beta) == pytest.approx((alpha, beta))
    assert lengthened(kr21, 2) > kr21


def test_nobody_wrong_when_everybody_passes():
    found = livingston_lewis.pass_fail(TrueScores(3, 3), 20, 0, 0.0)
    assert (found.accuracy, found.consistency, found.kappa) == pytest.approx((1, 1, 0))


@pytest.mark.parametrize("cuts", [(), (3, 3), (5, 2), (float("nan"),)])
def test_cuts_that_do_not_rise_are_refused(cuts):
    for how in (lee, rudner):
        with pytest.raises(ValueError, match="cuts"):
            how.classify(THETA, WEIGHTS, A, B, NONE, cuts)


def test_weights_that_are_no_shares_are_refused():
    for how in (lee, rudner):
        with pytest.raises(ValueError, match="weights"):
            how.classify(THETA, 2 * WEIGHTS, A, B, NONE, (3,))


def test_moments_that_no_beta_has_are_refused():
    with pytest.raises(ValueError, match="mean"):
        livingston_lewis.effective_length(5, 2, 1.0, 0, 10)
    with pytest.raises(ValueError, match="beta"):
        livingston_lewis.true_scores(5, 100, 0.9, 10)
    with pytest.raises(ValueError, match="beta"):
        livingston_lewis.pass_fail(TrueScores(0, 1), 10, 5, 0.5)
    with pytest.raises(ValueError, match="sd"):
        abilities(0, 0)


def test_the_spread_of_people_is_found_behind_their_errors():
    chance = many(9)
    true = chance.normal(0.4, 0.9, 20_000)
    errors = chance.uniform(0.3, 0.7, 20_000)
    mean, sd = spread(true + errors * chance.normal(size=20_000), errors)
    assert (mean, sd) == pytest.approx((0.4, 0.9), abs=0.02)
    assert spread(np.array([0.1, 0.1]), np.array([1.0, 1.0]))[1] == 0.25
    with pytest.raises(ValueError, match="estimates"):
        spread(np.array([0.1]), np.array([1.0]))
