"""How hard the next scenario should be."""

from trainer.core.measurement.ability import Ability
from trainer.core.measurement.selection import level_for


def test_levels_follow_ability():
    assert level_for(Ability(2.0, 0.3), 1) == "foundation"
    assert [level_for(Ability(m, 0.3), 9) for m in (-0.7, 1.4, 2.9)] == [
        "foundation",
        "working",
        "advanced",
    ]
