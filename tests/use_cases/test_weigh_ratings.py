"""How a form would decide: told as simulation finds it, wherever the cut lies between scores."""

import numpy as np
import pytest

from tests.support.chance import many
from trainer.core.measurement.response_model import probability
from trainer.core.measurement.standard_setting.equating import AbilityCut
from trainer.use_cases.weigh_ratings import quality

ITEMS = 12
RATED = np.full(ITEMS, 1.2), np.linspace(-2, 1, ITEMS), np.full(ITEMS, 0.2)


@pytest.mark.parametrize("cut", [-0.1, 0.05, 0.2, 0.35])
def test_those_who_are_able_are_those_who_reach_the_cut(cut):
    told = quality(AbilityCut(cut, 0.1), RATED, ITEMS, None).shares
    chance = many(7)
    theta = cut + chance.normal(size=200_000)
    score = (chance.random((len(theta), ITEMS)) < probability(theta, *RATED)).sum(axis=1)
    needed = quality(AbilityCut(cut, 0.1), RATED, ITEMS, None).needed
    passed, able = score >= needed, theta >= cut
    assert told.pass_pass + told.false_fail == pytest.approx(0.5, abs=1e-6)
    assert told.false_pass == pytest.approx((passed & ~able).mean(), abs=0.004)
    assert told.false_fail == pytest.approx((~passed & able).mean(), abs=0.004)
