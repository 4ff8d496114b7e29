"""Small sites come to rest, at the right place, and nothing that is no number comes out of any."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from tests.core.measurement.calibration.site import made_answers, made_families
from trainer.core.draw import Draw
from trainer.core.measurement.calibration import maximise
from trainer.core.measurement.calibration.derivatives import Blocks
from trainer.core.measurement.calibration.estimate import errors, estimate
from trainer.core.measurement.calibration.feature_regression import Beliefs
from trainer.core.measurement.calibration.hierarchical import estimate_with_features
from trainer.core.measurement.calibration.maximise import Maximum
from trainer.core.measurement.calibration.prior import DEFAULT, Prior
from trainer.core.measurement.calibration.recalibrate import recalibrate
from trainer.core.measurement.calibration.two_parameter import TwoParameter
from trainer.core.measurement.evidence import from_rows

DAY = date(2026, 3, 3)


def an_evidence(draw, families, people, each):
    """Rasch responses to families of spread 1, and how many families there are."""
    rows = [
        (person, family, draw.chance(1 / (1 + np.exp(family / families * 3 - 1.5 - theta))))
        for person, theta in enumerate(np.linspace(-1.5, 1.5, people))
        for family in draw.some(list(range(families)), each)
    ]
    person, family, right = (np.array(column) for column in zip(*rows, strict=True))
    return from_rows(person, family, right)


@pytest.mark.parametrize(
    ("families", "people", "each", "seed"),
    [(200, 40, 12, 3), (200, 40, 12, 5), (100, 40, 20, 3), (60, 8, 25, 4), (100, 12, 17, 9)],
)
def test_small_sites_settle(families, people, each, seed):
    """The first two swung to and fro for as long as they were let."""
    draw = Draw("nan", seed, families, people)
    found = recalibrate(made_answers(draw, made_families(draw, families), people, each), DAY)
    assert found.converged and found.finite()


def test_a_site_of_eight_people_is_honest_too():
    """Nine in ten true difficulties lie within their ninety per cent, or a few more."""
    within = []
    for seed in range(8):
        draw = Draw("eight people", seed)
        families = made_families(draw, 60)
        found = recalibrate(made_answers(draw, families, 8, 25), DAY)
        off = [(one.b - families[name][2]) / one.sd for name, one in found.families.items()]
        within.extend(np.abs(off) < 1.645)
    assert 0.86 < np.mean(within) < 0.98


@pytest.mark.parametrize("kind", ["right", "wrong", "luck", "two camps"])
def test_six_people_settle_whatever_they_answer(kind):
    draw = Draw("six", kind)
    answers = made_answers(draw, made_families(draw, 50), 6, 34)
    said = {
        "right": lambda one: True,
        "wrong": lambda one: False,
        "luck": lambda one: draw.chance(one.floor),
        "two camps": lambda one: one.person in {"p0", "p1", "p2"},
    }[kind]
    found = recalibrate([replace(one, right=said(one)) for one in answers], DAY)
    assert found.converged and found.finite()


def test_at_rest_spread_and_weights_are_those_of_laird_and_ware():
    """spread^2 = mean of E[(b - mean)^2 | responses], and residuals stand at right angles to rows.

    Laird & Ware 1982, Biometrics 38, equations for the variance of random effects, by EM.
    """
    draw = Draw("laird ware")
    evidence = an_evidence(draw, 40, 150, 25)
    rows = np.column_stack([np.ones(40), [draw.fraction() for _ in range(40)]])
    flat = Beliefs(np.zeros(2), np.full(2, np.inf))
    found = estimate_with_features(evidence, np.zeros(40), TwoParameter(), rows, flat)
    assert found.settled
    one, told = found.estimates, found.regression
    off = one.b - rows @ told.weights
    within = off**2 + np.diag(one.covariance_b)
    assert told.spread**2 == pytest.approx(within.mean(), rel=2e-3)
    assert rows.T @ off / 40 == pytest.approx(np.zeros(2), abs=1e-3)


def test_the_expected_information_of_a_prior_alone_is_the_prior():
    """By the delta method: SD of a is a times that of ln a, and b has its own."""
    a, b, nothing = np.array([0.4, 1.0, 5.0]), np.array([-2.0, 0.3, 4.0]), np.zeros(3)
    silent = Blocks(*[nothing] * 5)
    matrix = Prior(0.5, 0.8, np.array([1.0, 0.0, -3.0])).expected(silent, a, -a * b).matrix()
    there = Maximum(a, -a * b, np.linalg.inv(matrix), 0.0, 1, 0.0, 0.0, False)
    se_a, covariance = errors(there)
    assert se_a == pytest.approx(0.5 * a)
    assert covariance == pytest.approx(0.64 * np.eye(3))


@pytest.fixture
def indefinite(monkeypatch):
    """No observed information is ever definite."""

    def saddle(evidence, *_):
        return np.diag(np.resize([1.0, -1.0], 2 * evidence.families))

    monkeypatch.setattr(maximise, "observed_information", saddle)
    monkeypatch.setattr(maximise, "CYCLES", 12)


def test_without_definite_information_errors_are_finite_under_a_prior(indefinite):
    evidence = an_evidence(Draw("saddle"), 20, 30, 15)
    found = estimate(evidence, np.zeros(20), TwoParameter(), DEFAULT)
    assert not found.converged
    assert np.isfinite(found.covariance_b).all()
    assert ((found.se_b > 0) & (found.se_b < DEFAULT.sd)).all()
    assert ((found.se_a > 0) & (found.se_a < 0.5 * found.a)).all()


def test_errors_of_the_expected_information_are_near_the_observed(monkeypatch):
    """Where people answer much, little is missing for want of their abilities."""
    evidence = an_evidence(Draw("much"), 60, 200, 60)
    floor = np.zeros(60)
    usual = estimate(evidence, floor, TwoParameter(), DEFAULT)
    monkeypatch.setattr(maximise.Search, "_newton", lambda *_: None)
    monkeypatch.setattr(maximise, "CYCLES", 60)
    other = estimate(evidence, floor, TwoParameter(), DEFAULT)
    assert usual.converged and not other.converged
    ratio = other.se_b / usual.se_b
    assert (ratio < 1.001).all() and ratio.mean() > 0.85


def test_a_calibration_without_definite_information_is_finite_and_does_not_claim_rest(indefinite):
    draw = Draw("saddle site")
    found = recalibrate(made_answers(draw, made_families(draw, 12), 6, 8), DAY)
    assert found.finite() and not found.converged


@pytest.mark.parametrize("where", ["sd", "outfit", "row"])
def test_what_is_no_number_is_seen(where):
    draw = Draw("finite")
    found = recalibrate(made_answers(draw, made_families(draw, 12), 8, 8), DAY)
    name, one = next(iter(found.families.items()))
    spoilt = (np.nan,) * len(one.row) if where == "row" else np.inf
    assert found.finite()
    assert not replace(found, families={name: replace(one, **{where: spoilt})}).finite()
    assert not replace(found, outlook=replace(found.outlook, spread=np.nan)).finite()
