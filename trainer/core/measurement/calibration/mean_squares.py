"""Infit and outfit: how far responses stray from what the model expects of them."""

from dataclasses import dataclass

import numpy as np
from scipy.special import expit

from trainer.core.measurement.evidence import Evidence, Marks
from trainer.core.measurement.posterior import curves, grid_of, ready, weights
from trainer.core.measurement.response_model import Floats, check

SMALLEST = 1e-12
"""No chance is taken as smaller: one response against all odds shall show, not drown the rest."""


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
    check(a, b, floor)
    known = ~np.isnan(theta)
    p, q = _chances(theta[known], a, b, floor)
    return _squares((marks[known] == 1).astype(float), (marks[known] == 0).astype(float), p, q)


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
    return _squares(right.T, np.maximum(given - right, 0.0).T, *_chances(grid.theta, a, b, floor))


def _chances(theta: Floats, a: Floats, b: Floats, floor: Floats) -> tuple[Floats, Floats]:
    """P and Q, (points, families) each, kept off 0, so that a sure thing can still be missed."""
    z = a * (theta[:, None] - b)
    p, q = floor + (1 - floor) * expit(z), (1 - floor) * expit(-z)
    return np.maximum(p, SMALLEST), np.maximum(q, SMALLEST)


def _squares(right: Floats, wrong: Floats, p: Floats, q: Floats) -> MeanSquares:
    """From how many were right and wrong, and the chances P and Q there: all (points, families)."""
    given = right + wrong
    outfit = _ratio((right * (q / p) + wrong * (p / q)).sum(axis=0), given.sum(axis=0))
    strayed = (right * q**2 + wrong * p**2).sum(axis=0)
    return MeanSquares(_ratio(strayed, (given * p * q).sum(axis=0)), outfit)


def _ratio(top: Floats, bottom: Floats) -> Floats:
    shares: Floats = np.divide(top, bottom, out=np.full(len(top), np.nan), where=bottom > 0)
    return shares
