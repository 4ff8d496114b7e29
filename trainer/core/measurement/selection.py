"""How hard the next scenario should be."""

from trainer.core.measurement.ability import Ability
from trainer.core.measurement.priors import LEVELS

FRESH = 3
EASIER = 1.7
"""So far below the ability practice asks [theta]: about five in six come right, with a slope of 1,
one guess in five, and ability and difficulty known to an SD of 0.5 and 0.8. Easier than tells most,
as success teaches more and keeps people at it: the best share is near 0.85 (Wilson, Shenhav,
Straccia & Cohen 2019, Nature Communications 10, 4646; why easier also suits people: Eggen &
Verschoor 2006, Applied Psychological Measurement 30)."""


def level_for(ability: Ability, responses: int) -> str:
    """The level whose centre lies nearest 1.7 below the ability; the first three are foundation."""
    if responses < FRESH:
        return "foundation"
    return min(LEVELS, key=lambda level: abs(LEVELS[level] - (ability.mean - EASIER)))
