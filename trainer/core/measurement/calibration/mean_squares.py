"""Infit and outfit: how far responses stray from what the model expects of them."""

from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.evidence import Evidence, Marks
from trainer.core.measurement.posterior import curves, grid_of, ready, weights
from trainer.core.measurement.response_model import Floats, check, probability


@dataclass(frozen=True, slots=True)
class MeanSquares:
    """Per family, (families,) each; 1 is expected, above it responses surprise more.

    `infit` weighs each squared residual by its variance (most is said by people near the
    difficulty), `outfit` weighs all alike (a few wild responses show). NaN without responses.
    """

    infit: Floats
    outfit: Floats


def at_ability(marks: Marks, theta: Floats, a: Floats, b: Floats, floor: Floats) -> MeanSquares:
    """Mean squares at given abilities.

    Parameters
    ----------
    marks : (people, families) of 1 right, 0 wrong, -1 not given
    theta : (people,) abilities; people with NaN are left out
    a, b, floor : (families,), as `response_model.probability`, with its errors

    References
    ----------
    Wright & Masters 1982, Rating Scale Analysis, ch. 5. Agrees with R eRm.
    """
    known = ~np.isnan(theta)
    p = probability(theta[known], a, b, floor)
    said = marks[known]
    given, variance = said >= 0, p * (1 - p)
    strayed = np.where(given, (said - p) ** 2, 0.0)
    outfit = _ratio((strayed / variance).sum(axis=0), given.sum(axis=0))
    return MeanSquares(_ratio(strayed.sum(axis=0), (variance * given).sum(axis=0)), outfit)


def over_posterior(evidence: Evidence, a: Floats, b: Floats, floor: Floats) -> MeanSquares:
    """Mean squares averaged over each person's posterior, for sparse responses.

    A short record leaves an ability wide, and residuals at its mean would come out too small;
    averaged over the posterior their expectation under the model is 1 at any length.
    Parameters and errors as `at_ability`.
    """
    check(a, b, floor)
    grid = grid_of()
    shape = curves(a, -a * b, floor, grid)
    at = ready(shape, grid, evidence.precision)
    right = np.zeros((evidence.families, len(grid.theta)))
    given = np.zeros_like(right)
    for _, said, seen in evidence.parts():
        weight, _ = weights(said, seen, at)
        right += said.T @ weight
        given += weight.sum(axis=0) if seen is None else seen.T @ weight
    p = probability(grid.theta, a, b, floor).T
    strayed = right * (1 - p) ** 2 + (given - right) * p**2
    outfit = _ratio((strayed / (p * (1 - p))).sum(axis=1), given.sum(axis=1))
    return MeanSquares(_ratio(strayed.sum(axis=1), (given * p * (1 - p)).sum(axis=1)), outfit)


def _ratio(top: Floats, bottom: Floats) -> Floats:
    shares: Floats = np.divide(top, bottom, out=np.full(len(top), np.nan), where=bottom > 0)
    return shares
