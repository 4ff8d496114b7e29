"""Calibrations of other people, on one scale: what was agreed on it keeps its sense."""

from dataclasses import replace
from datetime import date

import pytest

from tests.core.measurement.calibration.site import made_answers, made_families
from trainer.core.draw import Draw
from trainer.core.measurement.calibration.linking import linked
from trainer.core.measurement.calibration.recalibrate import Answer, recalibrate
from trainer.core.measurement.priors import JUDGED, before_data

DAY = date(2026, 3, 3)


@pytest.fixture(scope="module")
def answers():
    draw = Draw("linking")
    return made_answers(draw, made_families(draw, 80), 200, 20)


def shifted(calibration, by):
    """As other people, abler by so much, would have had it."""
    families = {n: replace(one, b=one.b - by) for n, one in calibration.families.items()}
    return replace(calibration, families=families)


def test_a_calibration_of_abler_people_comes_back_onto_the_scale_before(answers):
    before = recalibrate(answers, DAY)
    found = linked(shifted(before, 1.3), before)
    for name, one in before.families.items():
        assert found.families[name].b == pytest.approx(one.b, abs=1e-9)
    assert found.centre == pytest.approx(1.3)


def test_without_one_before_families_lie_about_what_was_judged_of_them(answers):
    found = linked(recalibrate(answers, DAY), None)
    weights = dict(zip(JUDGED.names, JUDGED.weights, strict=True))
    judged = [weights.get(name, 0.0) for name in found.outlook.names]
    gaps = [
        one.b - sum(w * x for w, x in zip(judged, one.row, strict=True))
        for one in found.families.values()
    ]
    assert sum(gaps) / len(gaps) == pytest.approx(0.0, abs=0.1)


def test_a_family_judged_beyond_reach_counts_as_it_is_read(answers):
    """Before data an item is read at 2 at most, so the first calibration may not ask for more."""
    plain = recalibrate(answers, DAY)
    names = plain.outlook.names
    far = tuple(20.0 if name == "cues" else 0.0 for name in names)
    hard = replace(next(iter(plain.families.values())), row=far, b=0.5)
    found = linked(replace(plain, families={"hard": hard}), None)
    read = before_data("working", {"cues": 21.0}, 0.2)
    assert found.families["hard"].b == pytest.approx(read.b) == pytest.approx(2.0)


def test_what_features_say_of_a_new_family_moves_along(answers):
    plain = recalibrate(answers, DAY)
    found = linked(shifted(plain, -0.8), plain)
    level, features = "working", {"cues": 2.0}
    new = found.difficulty("new.family", level, features, 0.25)
    old = plain.difficulty("new.family", level, features, 0.25)
    assert new.b - old.b == pytest.approx(found.centre)
    assert found.centre == pytest.approx(-0.8)


def test_the_same_calibration_stays_where_it_is():
    few = [
        Answer("p", "a.x", True, "working", {}, 0.0),
        Answer("q", "a.x", False, "working", {}, 0),
    ]
    calibration = recalibrate(few, DAY)
    assert linked(calibration, calibration).centre == pytest.approx(0.0)
