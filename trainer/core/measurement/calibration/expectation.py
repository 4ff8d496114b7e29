"""The E step: how many would answer each family, and be right, at each ability."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from trainer.core.measurement.evidence import Evidence
from trainer.core.measurement.posterior import Curves, Grid, Work, ready, weights
from trainer.core.measurement.response_model import Floats


@dataclass(frozen=True, slots=True)
class Expectation:
    """What the E step finds: log-likelihood, and expected counts (families, points).

    `given`: expected responses at each ability. `right`: expected right ones; for families
    without a floor only its sum and its first moment over ability are true, which is all that
    such a family's likelihood asks for.
    """

    log_likelihood: float
    given: Floats
    right: Floats


def expect(evidence: Evidence, shape: Curves, grid: Grid) -> Expectation:
    """Expected counts under the posterior of every person.

    Reference: Bock & Aitkin 1981, Psychometrika 46.
    """
    at = ready(shape, grid, evidence.precision)
    points = len(grid.theta)
    total, given = 0.0, np.zeros((evidence.families, points))
    straight = shape.line is not None
    right = np.zeros((evidence.families, 2 if straight else points))
    moments = np.column_stack([np.ones_like(at.theta), at.theta])
    for _, seen_right, seen in evidence.parts():
        weight, log_likelihood = weights(seen_right, seen, at)
        total += float(log_likelihood.sum())
        given += weight.sum(axis=0, dtype=np.float64) if seen is None else _summed(seen, weight)
        right += _summed(seen_right, weight @ moments if straight else weight)
    return Expectation(total, given, _lifted(right, grid) if straight else right)


def log_likelihood(evidence: Evidence, shape: Curves, grid: Grid) -> float:
    """Log marginal probability of all responses, in double precision whatever theirs."""
    at, total = ready(shape, grid, np.float64), 0.0
    for _, right, given in evidence.parts():
        seen = None if given is None else given.astype(np.float64)
        total += float(weights(right.astype(np.float64), seen, at)[1].sum())
    return total


def _summed(cells: Any, weight: Work) -> Work:
    summed: Work = cells.T @ weight
    return summed


def _lifted(moments: Floats, grid: Grid) -> Floats:
    """Counts at the first and last ability with these sums and first moments."""
    low, high = grid.theta[0], grid.theta[-1]
    counts = np.zeros((len(moments), len(grid.theta)))
    counts[:, -1] = (moments[:, 1] - low * moments[:, 0]) / (high - low)
    counts[:, 0] = moments[:, 0] - counts[:, -1]
    return counts
