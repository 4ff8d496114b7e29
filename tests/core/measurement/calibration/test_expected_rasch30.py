"""Every row of the Rasch example, against R eRm and R psychotools."""

from functools import cache

import numpy as np
import pytest

from tests.core.measurement.calibration.outside import data, expected
from trainer.core.measurement.calibration.conditional import conditional_rasch
from trainer.core.measurement.calibration.mean_squares import at_ability
from trainer.core.measurement.scores import score

ROWS = expected("expected_rasch30_rasch")


@cache
def found():
    items, marks = data("rasch30")
    fitted = conditional_rasch(marks)
    slopes, none = np.ones(30), np.zeros(30)
    theta, se = score(marks, slopes, fitted.b, none, "ml")
    squares = at_ability(marks, theta, slopes, fitted.b, none)
    values = {("cml_logLik", ""): fitted.log_likelihood}
    for place, item in enumerate(items):
        values["cml_b_sum_zero", item] = fitted.b[place]
        values["cml_se_b", item] = fitted.se_b[place]
        values["infit_msq", item] = squares.infit[place]
        values["outfit_msq", item] = squares.outfit[place]
    for right, one, error in zip(marks.sum(axis=1), theta, se, strict=True):
        values["ml_theta_for_score", str(right)] = one
        values["ml_se_for_score", str(right)] = error
    return values


def test_no_row_is_left_out():
    assert len(ROWS) == 173


@pytest.mark.parametrize(("quantity", "key", "value", "tolerance"), ROWS)
def test_agrees(quantity, key, value, tolerance):
    assert found()[quantity, key] == pytest.approx(value, abs=tolerance)
