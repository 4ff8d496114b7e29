"""How much is kept after a delay: two published curves and the best fit of each.

For looking at forgetting as it was measured, in a table of delays; what practice goes by is
`forgetting`, which follows each family of each person.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import curve_fit

from trainer.core.measurement.response_model import Floats

PUBLISHED = (1.84, 1.25)
"""k and c of Ebbinghaus 1885, chapter VII."""
LOGARITHMIC_START, EXPONENTIAL_START = PUBLISHED, (0.5, 0.001)


@dataclass(frozen=True, slots=True)
class Fitted:
    """The two parameters of a curve, and the sum of squared errors they leave."""

    parameters: tuple[float, float]
    squares: float


def logarithmic(minutes: Floats, k: float, c: float) -> Floats:
    """Share kept, 0..1: k / ((log10 t)^c + k), t in minutes, from one minute on.

    Reference: Ebbinghaus 1885, Über das Gedächtnis, ch. VII (in per cent there).
    """
    return np.asarray(k / (np.log10(minutes) ** c + k))


def exponential(hours: Floats, m: float, rate: float) -> Floats:
    """Share kept, 0..1: m exp(-rate t), t in hours."""
    return np.asarray(m * np.exp(-rate * hours))


def fit_logarithmic(minutes: Floats, kept: Floats) -> Fitted:
    """k and c of `logarithmic` by least squares.

    minutes : (delays,) >= 1. kept : (delays,) shares 0..1. Raises ValueError for fewer than three
    delays, shapes that differ, or a delay out of range.
    """
    return _fit(logarithmic, minutes, kept, LOGARITHMIC_START, 1.0)


def fit_exponential(hours: Floats, kept: Floats) -> Fitted:
    """m and rate of `exponential` by least squares; hours >= 0, else as `fit_logarithmic`."""
    return _fit(exponential, hours, kept, EXPONENTIAL_START, 0.0)


def _fit(
    curve: Callable[..., Floats],
    delays: Floats,
    kept: Floats,
    start: tuple[float, float],
    least: float,
) -> Fitted:
    if delays.shape != kept.shape or delays.ndim != 1 or len(delays) <= len(start):
        raise ValueError(f"{delays.shape=}, {kept.shape=}")
    if delays.min() < least:
        raise ValueError(f"{delays.min()=}, {least=}")
    found, _ = curve_fit(curve, delays, kept, p0=start, xtol=1e-12, ftol=1e-12)
    first, second = (float(one) for one in found)
    return Fitted((first, second), float(((curve(delays, *found) - kept) ** 2).sum()))
