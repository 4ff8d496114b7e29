"""Whether families have become easier or harder from one calibration to the next."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot

import numpy as np

from trainer.core.measurement.calibration.recalibrate import FamilyFound

NOTABLE_Z = 2.58
"""1 % two-sided of the normal distribution."""
NOTABLE_SHIFT = 0.5
"""Half a standard deviation of ability: a smaller change is of no account even where it is sure."""
ROBUST_SD = 0.7413
"""Interquartile range of a normal distribution to its SD."""
FEWEST = 4


@dataclass(frozen=True, slots=True)
class Moved:
    """How far a family's difficulty moved against the others.

    `shift` > 0: harder [theta]. `sd`: its uncertainty. `z` = shift / sd. `robust_z`: shift against
    how far families moved that day. `notable`: both sure (|z| >= 2.58) and large (|shift| >= 0.5).
    """

    family: str
    shift: float
    sd: float
    z: float
    robust_z: float
    notable: bool


@dataclass(frozen=True, slots=True)
class Drift:
    """`common`: by how much difficulties moved on the whole (the people changed, not the families).
    `moved`: families in both calibrations, the largest |z| first. `gone`, `new`: in one only."""

    common: float
    moved: tuple[Moved, ...]
    gone: tuple[str, ...]
    new: tuple[str, ...]


def drift(before: Mapping[str, FamilyFound], after: Mapping[str, FamilyFound]) -> Drift:
    """Compare two calibrations family by family.

    Each sets ability to N(0, 1) for its own people, so the scales differ by a shift, taken as the
    median of all families' changes; and each family's change is judged against its errors. Two
    calibrations that share responses move less than their errors say, so z is on the safe side.

    References
    ----------
    Huynh & Meyer 2010, Practical Assessment, Research & Evaluation 15(2) (robust z); Wright &
    Stone 1979, Best Test Design, ch. 5 (standardised difference of two calibrations).
    """
    both = sorted(before.keys() & after.keys())
    gone = tuple(sorted(before.keys() - after.keys()))
    new = tuple(sorted(after.keys() - before.keys()))
    if not both:
        return Drift(0.0, (), gone, new)
    changes = np.array([after[name].b - before[name].b for name in both])
    low, common, high = np.percentile(changes, [25, 50, 75])
    usual = ROBUST_SD * (high - low)
    moved = []
    for name, change in zip(both, (changes - common).tolist(), strict=True):
        sd = hypot(before[name].sd, after[name].sd)
        z = change / sd if sd > 0 else 0.0
        robust = change / usual if usual > 0 and len(both) >= FEWEST else 0.0
        notable = abs(z) >= NOTABLE_Z and abs(change) >= NOTABLE_SHIFT
        moved.append(Moved(name, change, sd, z, float(robust), notable))
    moved.sort(key=lambda one: -abs(one.z))
    return Drift(float(common), tuple(moved), gone, new)
