"""Refresh sets: shorter, shorter still for sound practice, never short of critical items."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.measurement.refresh import Recent, Shortening, shortened, sound
from trainer.use_cases.know_competency import blueprint_of

RULE = Shortening(0.5, 0.25, 20)
SOUND = Recent("above", 25, 0)
NONE = Recent("unknown", 0, 0)


@pytest.mark.parametrize(
    ("method", "recent", "items", "minutes"),
    [
        ("tape_in", NONE, 20, 30),
        ("tape_in", SOUND, 14, 21),
        ("clip_in", NONE, 12, 18),
        ("clip_in", SOUND, 8, 12),
    ],
)
def test_how_long_a_set_is(bank, method, recent, items, minutes):
    full = blueprint_of(bank, method)
    found = shortened(full, RULE, recent)
    assert (found.items, found.minutes) == (items, minutes)
    assert (found.cut_share, found.critical_least) == (full.cut_share, full.critical_least)
    assert found.name == f"{full.name} refresh"


@pytest.mark.parametrize(
    "change", [{"band": "near"}, {"band": "below"}, {"answers": 19}, {"critical_errors": 1}]
)
def test_practice_is_sound_only_when_all_of_it_is(change):
    assert sound(SOUND, 20)
    assert not sound(replace(SOUND, **change), 20)


@given(st.floats(0.01, 1), st.floats(0.01, 1), st.booleans())
def test_the_critical_items_always_fit(bank, share, short, practised):
    full = blueprint_of(bank, "tape_in")
    found = shortened(full, Shortening(share, share * short, 20), SOUND if practised else NONE)
    assert full.critical_least <= found.items * (1 - full.rest_share) + 1e-9
    assert found.items <= full.items and 0 < found.minutes <= full.minutes
