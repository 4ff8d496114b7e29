"""Every row of the three files of expected calibrations, against R ltm and Python mirt."""

from functools import cache

import numpy as np
import pytest

from tests.core.measurement.calibration.outside import data, expected
from trainer.core.measurement.calibration.estimate import estimate, evidence_of
from trainer.core.measurement.calibration.one_parameter import OneParameter
from trainer.core.measurement.calibration.prior import DEFAULT, NONE, Prior
from trainer.core.measurement.calibration.two_parameter import TwoParameter

ASKED = {
    "1pl": (OneParameter(), NONE),
    "2pl": (TwoParameter(), NONE),
    "2pl_prior_a": (TwoParameter(), Prior(log_slope_sd=0.5)),
    "2pl_prior_ab": (TwoParameter(), DEFAULT),
}
SETS = {"lsat6": 73, "ability16": 216, "verbal24": 320}
ROWS = [(name, *row) for name in SETS for row in expected(f"expected_{name}_calibration")]


@cache
def found(name):
    """Every quantity that the file can name -> value."""
    items, marks = data(name)
    values = {}
    for words, (model, prior) in ASKED.items():
        one = estimate(evidence_of(marks), np.zeros(len(items)), model, prior)
        assert one.converged
        values[f"{words}_logLik", ""] = one.log_likelihood
        for place, item in enumerate(items):
            for quantity in ("a", "b", "se_a", "se_b"):
                values[f"{words}_{quantity}", item] = getattr(one, quantity)[place]
            if words == "1pl":
                values["rasch_b_free_variance", item] = one.a[place] * one.b[place]
        if words == "1pl":
            values["1pl_a", "common"], values["1pl_se_a", "common"] = one.a[0], one.se_a[0]
            values["rasch_latent_variance", ""] = one.a[0] ** 2
            values["rasch_logLik", ""] = one.log_likelihood
    return values


def test_no_row_is_left_out():
    assert {name: sum(row[0] == name for row in ROWS) for name in SETS} == SETS


@pytest.mark.parametrize(("name", "quantity", "key", "value", "tolerance"), ROWS)
def test_agrees(name, quantity, key, value, tolerance):
    assert found(name)[quantity, key] == pytest.approx(value, abs=tolerance)


def test_published_lsat6():
    """Rizopoulos 2006, Journal of Statistical Software 17(5): the 1PL of LSAT-6, as printed."""
    difficulties = [found("lsat6")["1pl_b", f"Q{n}"] for n in range(1, 6)]
    assert np.round(difficulties, 3).tolist() == [-3.615, -1.322, -0.318, -1.730, -2.780]
    assert round(found("lsat6")["1pl_a", "Q1"], 3) == 0.755
    assert round(found("lsat6")["1pl_logLik", ""], 3) == -2466.938
