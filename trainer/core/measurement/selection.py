"""How hard the next scenario should be."""

from trainer.core.measurement.ability import Ability
from trainer.core.measurement.priors import LEVELS

FRESH = 3


def level_for(ability: Ability, responses: int) -> str:
    """The level whose centre lies nearest the ability; the first three are foundation."""
    if responses < FRESH:
        return "foundation"
    return min(LEVELS, key=lambda level: abs(LEVELS[level] - ability.mean))
