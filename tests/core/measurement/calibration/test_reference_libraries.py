"""Beside two reference libraries on simulated data, and what must hold whatever the numbers."""

import numpy as np
import pytest
from girth import ability_eap, rasch_conditional
from hypothesis import given, settings
from hypothesis import strategies as st
from mirt import TwoParameterLogistic, fit_mirt, fscores
from mirt.diagnostics.itemfit import compute_itemfit
from scipy.stats import kstest, lognorm, norm

from tests.core.measurement.calibration.simulated import simulated
from trainer.core.measurement.ability import eap, grid
from trainer.core.measurement.calibration.conditional import conditional_rasch
from trainer.core.measurement.calibration.estimate import estimate, evidence_of
from trainer.core.measurement.calibration.mean_squares import over_posterior
from trainer.core.measurement.calibration.one_parameter import OneParameter
from trainer.core.measurement.calibration.prior import DEFAULT
from trainer.core.measurement.calibration.score_groups import s_x2
from trainer.core.measurement.calibration.two_parameter import TwoParameter
from trainer.core.measurement.evidence import from_marks, from_rows
from trainer.core.measurement.scores import score


def ours(marks, floor=0.0, model=None):
    return estimate(evidence_of(marks), np.full(marks.shape[1], floor), model or TwoParameter())


@pytest.mark.parametrize("missing", [0.0, 0.4])
def test_2pl_is_mirts_or_higher(missing):
    marks, *_ = simulated(1500, 20, 1, missing=missing)
    found = ours(marks)
    theirs = fit_mirt(marks, n_quadpts=61, tol=1e-7, max_iter=2000, compute_standard_errors=True)
    assert found.converged
    assert found.log_likelihood >= theirs.log_likelihood - 1e-4
    model = theirs.model.parameters
    assert found.a == pytest.approx(model["discrimination"], abs=5e-3)
    assert found.b == pytest.approx(model["difficulty"], abs=5e-3)
    errors = theirs.standard_errors
    assert found.se_a == pytest.approx(errors["discrimination"], rel=0.03)
    assert found.se_b == pytest.approx(errors["difficulty"], rel=0.03)


def test_2pl_with_a_floor_is_mirts_or_higher():
    marks, *_ = simulated(3000, 15, 12, floor=0.2)
    floor = np.full(15, 0.2)
    theirs = fit_mirt(
        marks,
        "3PL",
        start_values={"guessing": floor},
        fixed={"guessing": True},
        n_quadpts=61,
        tol=1e-6,
        max_iter=2000,
        compute_standard_errors=False,
    )
    found = ours(marks, 0.2)
    assert theirs.model.parameters["guessing"] == pytest.approx(floor)
    assert found.log_likelihood >= theirs.log_likelihood - 1e-4
    assert found.a == pytest.approx(theirs.model.parameters["discrimination"], abs=0.01)
    assert found.b == pytest.approx(theirs.model.parameters["difficulty"], abs=0.01)


def test_scores_are_mirts_and_girths():
    marks, *_ = simulated(300, 30, 2)
    none, model = np.zeros(30), fit_mirt(marks, compute_standard_errors=False).model
    a, b = model.parameters["discrimination"], model.parameters["difficulty"]
    mean, sd = eap(marks, a, b, none, grid())
    theirs = fscores(model, marks, method="EAP", n_quadpts=121)
    assert mean == pytest.approx(theirs.theta.ravel(), abs=1e-4)
    assert sd == pytest.approx(theirs.standard_error.ravel(), abs=1e-4)
    points = {"quadrature_n": 121, "quadrature_bounds": (-6, 6)}
    assert mean == pytest.approx(ability_eap(marks.T.astype(int), b, a, points), abs=1e-3)
    for rule in ("map", "wle"):
        theta, _ = score(marks, a, b, none, rule)
        alike = fscores(model, marks, method=rule.upper()).theta.ravel()
        assert theta == pytest.approx(alike, abs=1e-3)


def test_conditional_rasch_is_girths():
    marks, *_ = simulated(400, 12, 3)
    theirs = rasch_conditional(marks.T.astype(int))["Difficulty"]
    assert conditional_rasch(marks).b == pytest.approx(theirs - theirs.mean(), abs=1e-3)


def test_s_x2_is_mirts():
    marks, _, a, b = simulated(1500, 15, 4)
    model = TwoParameterLogistic(15)
    model.set_parameters(discrimination=a, difficulty=b)
    found = s_x2(marks, a, b, np.zeros(15))
    theirs = compute_itemfit(model, marks.astype(int), statistics=["S_X2"], n_quadpts=61)
    assert found.x2 == pytest.approx(theirs["S_X2"], rel=0.05, abs=0.5)


def test_s_x2_is_even_where_the_model_holds_and_small_where_not():
    marks, *_ = simulated(2500, 30, 5)
    found = ours(marks)
    p = s_x2(marks, found.a, found.b, found.floor).p
    assert kstest(p, "uniform").pvalue > 0.01
    worse = s_x2(marks, np.where(np.arange(30) == 3, 3.0, found.a), found.b, found.floor)
    assert worse.p[3] < 1e-6


def test_parameters_come_back_under_guessing_and_gaps():
    marks, _, a, b = simulated(6000, 40, 6, floor=0.25, missing=0.3)
    found = ours(marks, 0.25)
    assert found.converged
    assert np.sqrt(np.mean((found.a - a) ** 2)) < 0.12
    within = [np.abs(found.a - a) < 1.96 * found.se_a, np.abs(found.b - b) < 1.96 * found.se_b]
    assert 0.88 < np.mean(within) <= 1


def test_fit_over_posteriors_is_1_when_the_model_holds():
    marks, *_ = simulated(3000, 20, 7, missing=0.6)
    found = ours(marks)
    fit = over_posterior(evidence_of(marks), found.a, found.b, found.floor)
    assert fit.infit == pytest.approx(np.ones(20), abs=0.06)
    marks[:, 4] = np.where(marks[:, 4] >= 0, marks[::-1, 5] == 1, -1)
    noise = over_posterior(evidence_of(marks), found.a, found.b, found.floor)
    assert noise.outfit[4] > 1.1


def test_few_cells_filled_give_what_a_full_table_gives():
    """The sparse and the dense way, on the same responses."""
    marks, *_ = simulated(400, 30, 8, missing=0.7)
    person, family = np.nonzero(marks >= 0)
    rows = from_rows(person, family, marks[person, family] == 1)
    thin = np.full((400, 400), -1, np.int8)
    thin[:, :30] = marks
    kept = estimate(from_marks(thin), np.full(400, 0.2), TwoParameter(), DEFAULT)
    dense = estimate(rows, np.full(30, 0.2), TwoParameter(), DEFAULT)
    assert from_marks(thin).sparse and not rows.sparse
    for name in ("a", "b", "se_a", "se_b"):
        assert getattr(kept, name)[:30] == pytest.approx(getattr(dense, name), abs=1e-5)


def test_single_precision_gives_what_double_gives():
    marks, *_ = simulated(4000, 30, 9)
    found = ours(marks)
    single = estimate(from_marks(marks, np.float32), np.zeros(30), TwoParameter())
    assert single.converged
    assert single.a == pytest.approx(found.a, abs=0.01 * found.se_a.max())
    assert single.se_b == pytest.approx(found.se_b, rel=2e-3)


def test_nine_in_ten_abilities_lie_within_their_ninety_per_cent():
    marks, theta, a, b = simulated(5000, 40, 10, floor=0.2)
    mean, sd = eap(marks, a, b, np.full(40, 0.2), grid())
    assert 0.88 <= (np.abs(mean - theta) < 1.645 * sd).mean() <= 0.92


def height(marks, a, b, floor):
    """Log-likelihood and the default priors, written out plainly, as an outside reckoning."""
    theta = np.linspace(-7, 7, 113)
    p = floor + (1 - floor) / (1 + np.exp(-a * (theta[:, None] - b)))
    each = np.where(marks[:, None] >= 0, np.where(marks[:, None] == 1, p, 1 - p), 1).prod(axis=2)
    likelihood = np.log(each @ norm.pdf(theta) * (theta[1] - theta[0])).sum()
    return likelihood + lognorm.logpdf(a, 0.5).sum() + norm.logpdf(b, 0, 2).sum()


def curvatures(marks, found, floor):
    """Negative second derivatives of `height` by all of a and b, by differences."""
    at, step = np.concatenate([found.a, found.b]), 1e-3
    size = len(at)

    def high(*moves):
        there = at.copy()
        for place, by in moves:
            there[place] += by
        return height(marks, *np.split(there, 2), floor)

    return np.array(
        [
            [
                sum(x * y * high((i, x * step), (j, y * step)) for x in (1, -1) for y in (1, -1))
                for j in range(size)
            ]
            for i in range(size)
        ]
    ) / (-4 * step**2)


@settings(max_examples=20)
@given(st.integers(0, 10**6), st.sampled_from([0.0, 0.3]), st.sampled_from([0.0, 0.2]))
def test_no_step_away_from_the_estimates_is_higher(seed, missing, floor):
    marks, *_ = simulated(150, 6, seed, missing=missing)
    found = estimate(evidence_of(marks), np.full(6, floor), TwoParameter(), DEFAULT)
    assert found.converged
    top = height(marks, found.a, found.b, floor)
    for place in range(6):
        for by in (0.02, -0.02):
            step = np.where(np.arange(6) == place, by, 0.0)
            assert height(marks, found.a + step, found.b, floor) < top
            assert height(marks, found.a, found.b + step, floor) < top


@pytest.mark.parametrize(("missing", "floor"), [(0.0, 0.0), (0.0, 0.25), (0.5, 0.0), (0.5, 0.25)])
def test_errors_are_those_of_the_curvature_by_differences(missing, floor):
    marks, *_ = simulated(300, 4, 11, missing=missing)
    found = estimate(evidence_of(marks), np.full(4, floor), TwoParameter(), DEFAULT)
    errors = np.sqrt(np.diag(np.linalg.inv(curvatures(marks, found, floor))))
    assert found.se_a == pytest.approx(errors[:4], rel=2e-3)
    assert found.se_b == pytest.approx(errors[4:], rel=2e-3)


@settings(max_examples=15)
@given(st.integers(0, 10**6), st.permutations(range(5)))
def test_order_of_people_and_families_does_not_matter(seed, order):
    marks, *_ = simulated(200, 5, seed)
    found = estimate(evidence_of(marks), np.zeros(5), OneParameter(), DEFAULT)
    turned = estimate(evidence_of(marks[::-1, order]), np.zeros(5), OneParameter(), DEFAULT)
    assert turned.b == pytest.approx(found.b[order], abs=1e-5)
    assert turned.log_likelihood == pytest.approx(found.log_likelihood, abs=1e-6)


@pytest.mark.parametrize("column", [0, 1])
def test_without_a_prior_nothing_right_has_no_estimate(column):
    marks = np.array([[column, 1, 0], [column, 0, 1]], np.int8)
    with pytest.raises(ValueError, match="all or none right"):
        ours(marks)
    with pytest.raises(ValueError, match="fewest"):
        ours(marks[:, 1:])


@pytest.mark.parametrize(
    "marks", [np.zeros((0, 3), np.int8), np.full((2, 2), 2, np.int8), np.full((2, 2), -2, np.int8)]
)
def test_what_is_no_table_of_marks_is_refused(marks):
    with pytest.raises(ValueError, match="marks"):
        from_marks(marks)


def test_rows_that_do_not_fit_are_refused():
    one = np.array([0])
    with pytest.raises(ValueError, match="twice"):
        from_rows(np.array([0, 0]), np.array([1, 1]), np.array([True, False]))
    with pytest.raises(ValueError, match="len"):
        from_rows(one, one, np.array([True, False]))
