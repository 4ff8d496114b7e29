"""What is really so: each family's own slope and difficulty, near what its features say."""

from dataclasses import dataclass, replace
from math import exp
from statistics import NormalDist

from trainer.core.draw import Draw
from trainer.core.items.item import Item
from trainer.core.measurement.priors import SPREAD, Difficulty
from trainer.use_cases.know_difficulty import difficulty_of

NORMAL = NormalDist()
SLOPE_SPREAD = 0.25
"""SD of log a over families: a middling spread, invented."""


def normal(draw: Draw) -> float:
    """A draw from N(0, 1)."""
    return NORMAL.inv_cdf(min(max(draw.fraction(), 1e-12), 1 - 1e-12))


@dataclass(frozen=True)
class Truth:
    """A world: families lie about what their features say with an SD of `spread` [theta]."""

    name: str = "world"
    spread: float = SPREAD

    def of(self, item: Item) -> Difficulty:
        """The true parameters behind an item."""
        draw = Draw("truth", self.name, item.heading.family)
        said = difficulty_of(item)
        shift, slope = self.spread * normal(draw), exp(SLOPE_SPREAD * normal(draw))
        return replace(said, a=slope, b=said.b + shift, b_sd=0.0)

    def chance(self, item: Item, theta: float) -> float:
        """The probability that somebody of this ability answers it right."""
        found = self.of(item)
        curve = 1 / (1 + exp(-found.a * (theta - found.b)))
        return found.floor + (1 - found.floor) * curve
