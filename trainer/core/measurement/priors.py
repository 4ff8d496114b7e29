"""How hard a family is before anybody has answered it, and how unsure that is."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi, sqrt

LEVELS: Mapping[str, float] = {"foundation": -0.8, "working": 0.0, "advanced": 0.8}
WEIGHTS: Mapping[str, float] = {
    "cues": 0.25,
    "causes": 0.25,
    "nearness": 0.5,
    "closeness": 0.5,
    "steps": 0.05,
}
"""Judged, not estimated: what one more hidden cue, cause, step, or full nearness to a threshold
adds to difficulty. Replaced by estimates once a family has responses."""
SLOPE = 1.0
SPREAD = 0.8
"""Wide on purpose: features say little about one family's real difficulty."""
REACH = 2.0


@dataclass(frozen=True, slots=True)
class Difficulty:
    """A family's parameters: slope a > 0, difficulty b with its SD [theta], guessing floor."""

    a: float
    b: float
    b_sd: float
    floor: float

    @property
    def slope(self) -> float:
        """The slope with b's uncertainty averaged over: a / sqrt(1 + pi a^2 sd^2 / 8).

        Reference: MacKay 1992, Neural Computation 4 (moderated output of a logistic).
        """
        return self.a / sqrt(1 + pi * self.a**2 * self.b_sd**2 / 8)


def before_data(level: str, features: Mapping[str, float], floor: float) -> Difficulty:
    """Parameters from a family's level and features.

    Parameters
    ----------
    level : foundation, working or advanced; any other counts as working
    features : name -> amount; names without a weight add nothing
    floor : chance of a right guess, 0..1; kept below 0.95

    Returns
    -------
    Difficulty with a = 1, b in -2..2 and b_sd = 0.8. One cue, one cause and five steps are the
    plain case and add nothing.
    """
    plain = {"cues": 1.0, "causes": 1.0, "nearness": 0.0, "closeness": 0.0, "steps": 5.0}
    b = LEVELS.get(level, 0.0) + sum(
        weight * (features[name] - plain[name])
        for name, weight in WEIGHTS.items()
        if name in features
    )
    return Difficulty(SLOPE, max(-REACH, min(REACH, b)), SPREAD, max(0.0, min(floor, 0.95)))
