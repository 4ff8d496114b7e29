"""Features and difficulty: against R lme4, and honest about families that nobody has answered."""

from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np
import pytest

from tests.core.measurement.calibration.outside import data, expected
from tests.core.measurement.calibration.site import SPREAD, made_answers, made_families
from trainer.core.draw import Draw
from trainer.core.measurement.calibration.estimate import evidence_of
from trainer.core.measurement.calibration.feature_regression import Beliefs, regress
from trainer.core.measurement.calibration.hierarchical import estimate_with_features
from trainer.core.measurement.calibration.one_parameter import OneParameter
from trainer.core.measurement.calibration.recalibrate import recalibrate
from trainer.core.measurement.priors import before_data

DAY = date(2026, 3, 3)
# lme4 integrates over people by Laplace's method, which puts its log-likelihood 3.6 below the
# integral: those two rows are of another quantity.
FAMILY = [row for row in expected("expected_verbal24_family") if not row[0].endswith("logLik")]
NAMES = ["(Intercept)", "btypescold", "btypeshout", "situself", "modedo"]


@cache
def verbal24():
    """Easiness -a b on the scale of slope 1, as lme4 has it."""
    items, marks = data("verbal24")
    features = [
        [1, "Scold" in item, "Shout" in item, item[1] in "34", "Do" in item] for item in items
    ]
    values = {}
    for words, columns in (("crossed", 1), ("lltm_r", 5)):
        rows = np.array(features, dtype=float)[:, :columns]
        flat = Beliefs(np.zeros(columns), np.full(columns, np.inf))
        none = np.zeros(len(items))
        found = estimate_with_features(evidence_of(marks), none, OneParameter(), rows, flat, None)
        assert found.settled
        a, told = found.estimates.a[0], found.regression
        values[f"{words}_sd_id", ""], values[f"{words}_sd_item", ""] = a, a * told.spread
        values["crossed_intercept", ""] = -a * told.weights[0]
        values |= {("lltm_r_fixed", n): -a * w for n, w in zip(NAMES, told.weights, strict=False)}
        if columns == 1:
            crossed = values["crossed_intercept", ""]
    values["crossed_intercept", ""] = crossed
    return values


def test_all_rows_but_those_two():
    assert len(FAMILY) == 10


@pytest.mark.parametrize(("quantity", "key", "value", "tolerance"), FAMILY)
def test_verbal24_agrees_with_lme4(quantity, key, value, tolerance):
    assert verbal24()[quantity, key] == pytest.approx(value, abs=tolerance)


def test_regression_without_errors_is_least_squares():
    """With exact difficulties the weights are numpy's least squares, the spread the residuals'."""
    draw = Draw("least squares")
    rows = np.array([[1.0, draw.fraction(), draw.fraction()] for _ in range(40)])
    b = rows @ [0.2, -1.0, 0.5] + np.array([draw.fraction() for _ in range(40)])
    found = regress(rows, b, np.zeros((40, 40)), Beliefs(np.zeros(3), np.full(3, np.inf)))
    weights, squares, _, _ = np.linalg.lstsq(rows, b, rcond=None)
    assert found.weights == pytest.approx(weights, abs=1e-9)
    assert found.spread == pytest.approx(np.sqrt(squares[0] / 40), abs=1e-5)


def test_strong_beliefs_hold_against_little_data():
    rows = np.ones((2, 1))
    before = Beliefs(np.array([1.0]), np.array([1e-6]), 0.8, 0.1)
    found = regress(rows, np.array([-3.0, -3.0]), np.eye(2), before)
    assert found.weights[0] == pytest.approx(1.0, abs=1e-6)


@cache
def site(seed):
    """A calibration of 120 families of 150, and all of them as they truly are."""
    draw = Draw("site", seed)
    families = made_families(draw, 150)
    seen = dict(list(families.items())[:120])
    return families, recalibrate(made_answers(draw, seen, 300, 20), DAY)


def z_scores(seen):
    for seed in range(6):
        families, found = site(seed)
        for name, (level, features, b, _, floor) in families.items():
            if (name in found.families) is seen:
                known = found.difficulty(name, level, features, floor)
                yield (b - known.b) / known.b_sd


@pytest.mark.parametrize("seen", [True, False])
def test_nine_in_ten_difficulties_lie_within_their_ninety_per_cent(seen):
    """720 families that were answered, 180 that nobody answered."""
    within = np.abs(list(z_scores(seen))) < 1.645
    assert 0.9 - 3 * (0.09 / len(within)) ** 0.5 < within.mean() < 0.97


def test_a_small_site_is_not_surer_than_it_may_be():
    """Forty people, twenty answers each: intervals hold, and slopes are not drawn below 1."""
    within, slopes = [], []
    for seed in range(10):
        draw = Draw("small site", seed)
        families = made_families(draw, 100)
        found = recalibrate(made_answers(draw, families, 40, 20), DAY)
        assert found.converged
        for name, known in found.families.items():
            within.append(abs(known.b - families[name][2]) < 1.645 * known.sd)
            slopes.append(np.log(known.a))
    assert 0.84 <= np.mean(within) <= 0.98
    assert np.exp(np.mean(slopes)) == pytest.approx(1, abs=0.06)


def test_features_say_more_of_a_new_family_than_nothing():
    misses, guesses = [], []
    for seed in range(6):
        families, found = site(seed)
        for name in set(families) - set(found.families):
            level, features, b, _, floor = families[name]
            misses.append(before_data(level, features, floor, found.outlook).b - b)
            guesses.append(b)
    assert np.std(misses) < 0.75 * np.std(guesses)


def test_the_spread_is_found():
    assert np.mean([site(seed)[1].outlook.spread for seed in range(6)]) == pytest.approx(
        SPREAD, abs=0.06
    )


def test_only_a_first_response_counts():
    draw = Draw("first")
    families = made_families(draw, 10)
    answers = made_answers(draw, families, 30, 8)
    again = [replace(answer, right=not answer.right) for answer in answers]
    assert recalibrate(answers + again, DAY) == recalibrate(answers, DAY)


def test_it_says_what_it_rests_on():
    found = site(0)[1]
    assert (found.dated, found.people, found.answers) == (DAY, 300, 6000)
    assert sum(family.n for family in found.families.values()) == 6000
    assert np.mean([family.infit for family in found.families.values()]) == pytest.approx(
        1, abs=0.06
    )


def test_nothing_to_calibrate():
    with pytest.raises(ValueError, match="no answers"):
        recalibrate([], DAY)


def test_the_items_own_features_move_its_difficulty():
    families, found = site(0)
    level, features, _, _, floor = families["f0"]
    usual = found.difficulty("f0", level, features, floor)
    harder = found.difficulty("f0", level, features | {"nearness": features["nearness"] + 1}, floor)
    weight = dict(zip(found.outlook.names, found.outlook.weights, strict=True))["nearness"]
    assert usual.b == pytest.approx(found.families["f0"].b)
    assert harder.b - usual.b == pytest.approx(weight)
    assert harder.b_sd > usual.b_sd
