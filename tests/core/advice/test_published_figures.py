"""What the bank says of solvents, treatment and damp air, against published figures.

The bank's numbers must be what the published ones work out to, not what somebody typed.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.advice.tension import breaking_force_gf
from trainer.core.advice.vapour import vapour_ppm
from trainer.core.knowledge.quantity import MOLAR_VOLUME_L

# g/mL and g/mol, from memory (standard tables).
ACETONE, ALCOHOL = (0.791, 58.08), (0.785, 60.10)


# Worked by hand with 24.45 L/mol (NIOSH Pocket Guide, introduction: ppm and mg/m³ at 25 °C).
@pytest.mark.parametrize(
    ("solvent", "ml", "room", "ppm"),
    [
        (ACETONE, 10, 30, 111),
        (ACETONE, 50, 30, 555),
        (ACETONE, 50, 60, 277),
        (ALCOHOL, 10, 30, 106),
        (ALCOHOL, 50, 30, 532),
        (ALCOHOL, 50, 60, 266),
    ],
)
def test_a_drying_solvent_in_a_closed_room(solvent, ml, room, ppm):
    assert vapour_ppm(ml, *solvent, room) == pytest.approx(ppm, rel=0.01)


def test_a_mole_of_air_at_25_degrees():
    assert pytest.approx(24.45, rel=0.001) == MOLAR_VOLUME_L


def test_the_spill_that_the_bank_tells_of(bank):
    told = bank.facts["solvent.spill_in_room"].low
    assert vapour_ppm(50, *ACETONE, 30) == pytest.approx(told, rel=0.01)
    assert told > bank.facts["solvent.acetone_limit"].low
    # Sources C1 and C2 of the bank: acetone 250 ppm, isopropyl alcohol 400 ppm over a working day.
    assert bank.facts["solvent.acetone_limit"].low == 250
    assert bank.facts["solvent.alcohol_limit"].low == 400
    assert vapour_ppm(50, *ALCOHOL, 30) > 400 > vapour_ppm(50, *ALCOHOL, 60)


# Flash points as published in °F (sources C4 and C2 of the bank): acetone 0, isopropyl alcohol 53.
@pytest.mark.parametrize(
    ("fact", "fahrenheit"), [("solvent.acetone_flash", 0), ("solvent.alcohol_flash", 53)]
)
def test_flash_points_turned_into_celsius(bank, fact, fahrenheit):
    assert bank.facts[fact].low == pytest.approx((fahrenheit - 32) / 1.8, abs=0.5)


@given(st.floats(0.1, 500), st.floats(5, 500), st.floats(1.01, 10))
def test_a_larger_room_dilutes_and_a_larger_spill_adds(ml, room, times):
    one = vapour_ppm(ml, *ACETONE, room)
    assert vapour_ppm(ml, *ACETONE, room * times) == pytest.approx(one / times)
    assert vapour_ppm(ml * times, *ACETONE, room) == pytest.approx(one * times)


@pytest.mark.parametrize("wrong", [(0, 1, 1, 1), (1, -1, 1, 1), (1, 1, 0, 1), (1, 1, 1, 0)])
def test_an_impossible_spill_is_refused(wrong):
    with pytest.raises(ValueError, match="not above 0"):
        vapour_ppm(*wrong)


# Break stress relative to untreated hair, source H11 of the bank, p. 362, table VI.
UNTREATED, PERMED, THREE_PERMS, PEROXIDE, BOTH = 3.3, 2.3, 1.0, 2.8, 1.5


def lost_percent(before, after):
    return 100 * (before - after) / before


def test_what_treatment_costs(bank):
    perm, bleach = bank.facts["hair.perm_weakens"], bank.facts["hair.bleach_weakens"]
    assert lost_percent(UNTREATED, PERMED) == pytest.approx(perm.low, abs=0.5)
    assert lost_percent(UNTREATED, PEROXIDE) == pytest.approx(bleach.low, abs=0.5)
    # 'Three cut it by far more', 'a perm on top adds to it'.
    assert lost_percent(UNTREATED, THREE_PERMS) == pytest.approx(70, abs=0.5)
    assert lost_percent(UNTREATED, BOTH) == pytest.approx(55, abs=0.5)


# Journal of Cosmetic Science 72, table II: 65 % -> 100 % relative humidity.
@pytest.mark.parametrize(("end", "drop"), [("high", 7.2), ("low", 21.3)])
def test_what_damp_air_costs(bank, end, drop):
    dry, damp = (
        breaking_force_gf(70, getattr(bank.facts[fact], end))
        for fact in ("hair.break_stress", "hair.break_stress_wet")
    )
    assert lost_percent(dry, damp) == pytest.approx(drop, rel=0.01)
