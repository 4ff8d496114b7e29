"""What came of it: false passes and fails, how true stated probabilities are, how wide bands."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from trainer.core.measurement.priors import Difficulty


@dataclass(frozen=True)
class Sat:
    """A sitting's outcome beside the truth: distance of true ability from the cut [theta]."""

    above: float
    reached_cut: bool
    passed: bool
    confidence: float


@dataclass(frozen=True)
class Scale:
    """Where the site's scale lies beside that of the made-up world, which nobody can know there."""

    step: float
    start: float

    def told(self, theta: float) -> float:
        """A true ability on the site's scale."""
        return self.step * theta + self.start


def scale_of(pairs: Sequence[tuple[Difficulty, Difficulty]]) -> Scale:
    """The site's scale from families as it has them, and as they are: (found, true).

    Mean/mean linking: Kolen & Brennan 2014, Test Equating, Scaling, and Linking, ch. 6.
    """
    slope, b, true_slope, true_b = (
        fmean(values) for values in zip(*((f.a, f.b, t.a, t.b) for f, t in pairs), strict=True)
    )
    step = true_slope / slope
    return Scale(step, b - step * true_b)


@dataclass(frozen=True)
class Rates:
    """Shares, 0..1, among people `above` the cut by about so much (negative: below)."""

    above: float
    people: int
    reached: float
    passed: float

    @property
    def lost_to_critical(self) -> float:
        """Reached the cut, but not passed: what the critical-error rule takes."""
        return self.reached - self.passed


def rates(sat: Sequence[Sat], distances: Sequence[float], within: float = 0.125) -> list[Rates]:
    """How many reach the cut and pass, by true distance from it."""
    out = []
    for distance in distances:
        near = [one for one in sat if abs(one.above - distance) <= within]
        if near:
            reached = sum(one.reached_cut for one in near) / len(near)
            passed = sum(one.passed for one in near) / len(near)
            out.append(Rates(distance, len(near), reached, passed))
    return out


@dataclass(frozen=True)
class Stated:
    """Decisions whose stated probability of being right lay in a band, and how many were right."""

    low: float
    high: float
    decisions: int
    stated: float
    true: float


def reliability(sat: Sequence[Sat], bands: int = 5) -> list[Stated]:
    """Stated against true probability that the decision on the cut is right, in bands of 0.5..1."""
    out = []
    for number in range(bands):
        low, high = (0.5 + 0.5 * (number + end) / bands for end in (0, 1))
        there = [one for one in sat if low <= one.confidence < high + (number == bands - 1)]
        if there:
            right = sum(one.reached_cut == (one.above >= 0) for one in there) / len(there)
            stated = sum(one.confidence for one in there) / len(there)
            out.append(Stated(low, high, len(there), stated, right))
    return out


def worst_gap(stated: Sequence[Stated], least: int = 200) -> float:
    """Largest distance of stated from true probability among bands with enough decisions."""
    return max(abs(one.stated - one.true) for one in stated if one.decisions >= least)
