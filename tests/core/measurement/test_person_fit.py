"""Person fit: as rare as it says among the honest, common among those who guessed or knew."""

import numpy as np
import pytest
from mirt import TwoParameterLogistic
from mirt.diagnostics.personfit import compute_personfit

from tests.core.measurement.calibration.simulated import answered, fractions, simulated
from trainer.core.draw import Draw
from trainer.core.measurement.evidence import NOT_GIVEN
from trainer.core.measurement.person_fit import FEWEST, foreknowledge, person_fit
from trainer.core.measurement.scores import score

FLOOR = np.full(40, 0.2)
MARKS, THETA, A, B = simulated(4000, 40, 3, floor=0.2)


def test_among_the_honest_it_is_near_the_normal():
    found = person_fit(MARKS, A, B, FLOOR)
    assert abs(found.lz.mean()) < 0.1
    assert found.lz.std() == pytest.approx(1, abs=0.07)
    assert 0.003 < found.aberrant.mean() < 0.02
    assert 0.03 < (found.lz < -1.645).mean() < 0.07


def test_in_the_middle_it_orders_people_as_the_uncorrected_index_does():
    """Python mirt's lz at the same abilities. The correction widens it: to SD 1, as it should."""
    marks, _, a, b = simulated(1000, 40, 8)
    none = np.zeros(40)
    model = TwoParameterLogistic(40)
    model.set_parameters(discrimination=a, difficulty=b)
    theta, _ = score(marks, a, b, none, "wle")
    plain = compute_personfit(model, marks, theta=theta, statistics=["lz"])["lz"]
    ours = person_fit(marks, a, b, none).lz
    middle = np.abs(theta) < 1
    assert np.corrcoef(plain[middle], ours[middle])[0, 1] > 0.99
    assert plain.std() < 0.9
    assert ours.std() == pytest.approx(1, abs=0.06)


def test_blind_guessing_on_what_is_easy_for_them_shows():
    draw = Draw("blind")
    marks = answered(draw, np.full(400, 1.0), A, B, 0.2)
    marks[:, np.argsort(B)[:12]] = fractions(draw, 400, 12) < 0.2
    found = person_fit(marks, A, B, FLOOR)
    assert found.aberrant.mean() > 0.3
    assert found.easy.mean() < -0.5


def test_knowing_hard_ones_beforehand_shows():
    marks = answered(Draw("leaked"), np.full(400, -1.5), A, B, 0.2)
    leaked = np.argsort(-B)[:12]
    marks[:, leaked] = 1
    found = person_fit(marks, A, B, FLOOR)
    assert found.aberrant.mean() > 0.5
    assert found.hard.mean() > 1
    exposed = np.isin(np.arange(40), leaked)
    assert (foreknowledge(marks, exposed, A, B, FLOOR) > 2.33).mean() > 0.6
    assert (foreknowledge(MARKS, exposed, A, B, FLOOR) > 2.33).mean() < 0.03


def test_too_few_responses_say_nothing():
    marks = np.full((1, 40), NOT_GIVEN, np.int8)
    marks[0, : FEWEST - 1] = 1
    found = person_fit(marks, A, B, FLOOR)
    assert np.isnan([found.lz[0], found.hard[0], found.easy[0]]).all()
    assert not found.aberrant[0]
    assert np.isnan(foreknowledge(np.full((1, 40), -1, np.int8), B > 0, A, B, FLOOR))[0]
