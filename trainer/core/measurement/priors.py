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
adds to difficulty. A calibration puts an estimated `Outlook` in their place."""
PLAIN_CASE: Mapping[str, float] = {
    "cues": 1.0,
    "causes": 1.0,
    "nearness": 0.0,
    "closeness": 0.0,
    "steps": 5.0,
}
"""What a plain case holds: it adds nothing."""
PLAIN, LEVEL = "plain", "level."
SLOPE = 1.0
SPREAD = 0.8
"""Wide on purpose: features say little about one family's real difficulty."""
REACH = 2.0
MOST_GUESSED = 0.95


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


@dataclass(frozen=True, slots=True)
class Outlook:
    """What features say of difficulty: b ~ N(row . weights, spread^2 + row . covariance . row).

    `names`: of the k features, in order: `plain` (always 1), `level.foundation` and such (1 at
    that level), else a feature's own name. `weights`: (k,). `covariance`: (k, k), how unsure they
    are; empty where they are held for sure. `spread`: SD of families
    that look alike. `slope`: of a family like these.
    """

    names: tuple[str, ...]
    weights: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    spread: float
    slope: float = SLOPE

    def row(self, level: str, features: Mapping[str, float]) -> tuple[float, ...]:
        """The (k,) features of a case, each as its distance from the plain case."""
        return tuple(_amount(name, level, features) for name in self.names)

    def expects(self, row: tuple[float, ...]) -> tuple[float, float]:
        """Difficulty and its SD for a row of features."""
        b = sum(weight * amount for weight, amount in zip(self.weights, row, strict=True))
        unsure = sum(
            one * cell * other
            for one, cells in zip(row, self.covariance, strict=False)
            for other, cell in zip(row, cells, strict=True)
        )
        return b, sqrt(self.spread**2 + unsure)


def _amount(name: str, level: str, features: Mapping[str, float]) -> float:
    if name == PLAIN:
        return 1.0
    if name.startswith(LEVEL):
        return float(name == LEVEL + level)
    return features[name] - PLAIN_CASE.get(name, 0.0) if name in features else 0.0


def _judged() -> Outlook:
    weights = {LEVEL + level: weight for level, weight in LEVELS.items() if weight}
    weights |= dict(WEIGHTS)
    return Outlook(tuple(weights), tuple(weights.values()), (), SPREAD)


JUDGED = _judged()
"""The outlook before anything was calibrated."""


def before_data(
    level: str, features: Mapping[str, float], floor: float, outlook: Outlook = JUDGED
) -> Difficulty:
    """Parameters from a family's level and features.

    Parameters
    ----------
    level : foundation, working or advanced; any other counts as working
    features : name -> amount; names without a weight add nothing
    floor : chance of a right guess, 0..1; kept below 0.95
    outlook : what features say; that of a calibration (`calibration.recalibrate`) once there is
        one

    Returns
    -------
    Difficulty with b in -2..2; by the judged outlook a = 1 and b_sd = 0.8. One cue, one cause and
    five steps are the plain case and add nothing.
    """
    b, sd = outlook.expects(outlook.row(level, features))
    return Difficulty(outlook.slope, within_reach(b), sd, guessed(floor))


def within_reach(b: float) -> float:
    """A difficulty that features say, kept in -2..2: no case is as hard as all of them together."""
    return max(-REACH, min(REACH, b))


def guessed(floor: float) -> float:
    """A chance of a right guess, kept in 0..0.95: above that a response says nothing."""
    return max(0.0, min(floor, MOST_GUESSED))
