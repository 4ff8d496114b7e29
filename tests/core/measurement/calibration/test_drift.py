"""Drift between two calibrations: a shift of everybody is none, one family's own is found."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.measurement.calibration.drift import drift
from trainer.core.measurement.calibration.recalibrate import FamilyFound


def one(b, sd=0.1):
    return FamilyFound(1.0, b, sd, 0.2, 100, 1.0, 1.0, (1.0,))


@given(st.floats(-2, 2), st.integers(1, 9))
def test_a_shift_of_all_is_common_and_no_drift(shift, count):
    before = {f"f{n}": one(n / 3) for n in range(count)}
    found = drift(before, {name: one(family.b + shift) for name, family in before.items()})
    assert found.common == pytest.approx(shift)
    assert not any(moved.notable for moved in found.moved)
    assert all(abs(moved.shift) < 1e-9 for moved in found.moved)


def test_a_family_that_leaked_stands_out():
    before = {f"f{n}": one(n / 3) for n in range(9)}
    after = {name: one(family.b + 0.02 * n) for n, (name, family) in enumerate(before.items())}
    after["f4"] = one(before["f4"].b - 1.0)
    after["new"] = after.pop("f8")
    found = drift(before, after)
    first = found.moved[0]
    assert first.family == "f4" and first.notable and first.robust_z < -3
    assert [moved.family for moved in found.moved if moved.notable] == ["f4"]
    assert found.gone == ("f8",) and found.new == ("new",)


def test_what_is_unsure_or_small_is_not_notable():
    before = {f"f{n}": one(0.0, 0.5) for n in range(5)}
    unsure = drift(before, before | {"f0": one(1.0, 0.5)})
    assert unsure.moved[0].family == "f0" and not unsure.moved[0].notable
    sure = {f"f{n}": one(0.0, 0.01) for n in range(5)}
    small = drift(sure, sure | {"f0": one(0.3, 0.01)})
    assert small.moved[0].z > 20 and not small.moved[0].notable


def test_two_that_share_nothing():
    assert drift({"a": one(0)}, {"b": one(0)}).moved == ()
