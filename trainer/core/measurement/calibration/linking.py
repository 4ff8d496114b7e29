"""One scale for every calibration: each is moved onto that of the one before it."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from trainer.core.measurement.calibration.recalibrate import Calibration
from trainer.core.measurement.priors import JUDGED, PLAIN, SPREAD, within_reach


def linked(found: Calibration, before: Calibration | None) -> Calibration:
    """The calibration on the scale of the one before, so that abilities and cuts keep their sense.

    Each calibration takes its own people as N(0, 1). Here all difficulties are moved by one shift,
    the mean by which families common to both differ, each as heavy as both are sure of it; without
    one before, by which families differ from what was judged of their features. `centre` is then
    the mean ability of its people on the common scale.

    References
    ----------
    Kolen & Brennan 2014, Test Equating, Scaling, and Linking, ch. 6 (common items, mean/mean);
    Wright & Stone 1979, Best Test Design, ch. 5 (each difference weighted by its information).
    """
    pairs = list(_with_before(found, before)) if before else []
    pairs = pairs or list(_with_judged(found))
    if not pairs:
        return found
    gaps, variances = np.array(pairs).T
    shift = float(np.average(gaps, weights=1 / variances))
    outlook = found.outlook
    weights = tuple(
        weight + shift * (name == PLAIN)
        for name, weight in zip(outlook.names, outlook.weights, strict=True)
    )
    return replace(
        found,
        families={name: replace(one, b=one.b + shift) for name, one in found.families.items()},
        outlook=replace(outlook, weights=weights),
        centre=found.centre + shift,
    )


def _with_before(found: Calibration, before: Calibration) -> Iterator[tuple[float, float]]:
    """Gap in difficulty and its variance, for families in both."""
    for name in sorted(found.families.keys() & before.families.keys()):
        one, other = found.families[name], before.families[name]
        yield other.b - one.b, one.sd**2 + other.sd**2


def _with_judged(found: Calibration) -> Iterator[tuple[float, float]]:
    """Gap between what was judged of a family's features and what was found, and its variance."""
    judged = dict(zip(JUDGED.names, JUDGED.weights, strict=True))
    weights = [judged.get(name, 0.0) for name in found.outlook.names]
    for one in found.families.values():
        expected = sum(weight * amount for weight, amount in zip(weights, one.row, strict=True))
        yield within_reach(expected) - one.b, one.sd**2 + SPREAD**2
