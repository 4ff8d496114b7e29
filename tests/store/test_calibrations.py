"""Calibrations side by side, one in use; answers of every organisation, without a name."""

import pytest

from tests.support.people import NOW
from trainer.core.problems import NotFound
from trainer.store import calibrations
from trainer.store.calibrations import CalibrationRow

OUTLOOK = {
    "names": ["plain", "level.advanced", "cues"],
    "weights": [0.0, 0.8, 0.25],
    "covariance": [],
    "spread": 0.5,
    "slope": 1.0,
}


def a_calibration(unit, adopted=None, retired=None, at=NOW, **families):
    row = CalibrationRow(
        made_at=at,
        bank_version="a1b2c3",
        people=40,
        responses=900,
        summary={"log_likelihood": -512.5, "converged": True, "centre": 0.0, "outlook": OUTLOOK},
        adopted_at=adopted,
        retired_at=retired,
    )
    found = [
        {
            "family": family.replace("__", "."),
            "a": 1.1,
            "b": b,
            "b_sd": 0.2,
            "responses": 60,
            "floor": 0.25,
            "infit": 1.0,
            "outfit": 1.0,
            "means": [1.0, 0.0, 0.0],
        }
        for family, b in families.items()
    ]
    return calibrations.keep(unit, row, found)


def test_only_what_is_adopted_and_not_retired_is_in_use(work):
    with work.writing() as unit:
        a_calibration(unit, NOW, NOW, overdue__tape_in=0.1)
        mine = a_calibration(unit, NOW, overdue__tape_in=0.7, early_signs__tape_in=-0.4)
        a_calibration(unit, overdue__tape_in=2.0)
    with work.reading() as unit:
        assert calibrations.in_use(unit).id == mine
        found = calibrations.of_families(unit, ["overdue.tape_in", "early_signs.tape_in", "x.y"])
        assert {one.family: one.b for one in found} == {
            "overdue.tape_in": 0.7,
            "early_signs.tape_in": -0.4,
        }
        (none,) = calibrations.of_families(unit, ["x.y"])
        assert (none.id, none.family) == (mine, None)
        assert len(calibrations.newest(unit, 9)) == 3
        assert [one.b for one in calibrations.families_of(unit, mine)] == [-0.4, 0.7]


def test_an_unknown_one_is_not_found(work):
    with work.reading() as unit:
        assert calibrations.in_use(unit) is None
        assert calibrations.of_families(unit, ["overdue.tape_in"]) == []
        with pytest.raises(NotFound):
            calibrations.calibration(unit, "0" * 32)
