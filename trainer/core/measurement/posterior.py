"""What responses say of each person's ability: weights on a grid, and how likely the responses."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, logsumexp

from trainer.core.measurement.response_model import Floats

Work = NDArray[np.floating[Any]]
FINEST, FINE, SPAN = 121, 61, 6.0
COARSE, COARSE_SPAN = 41, 5.0
"""Points are equally spaced: Gauss and Hermite's lie too far apart where a long test knows a person
well. A step of 0.25 finds the maximum of 150 responses a person to 0.001 of a log-likelihood."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Equally spaced abilities and the log weights of N(0, 1) there, which sum to 1.

    The rule of equal steps is exact to rounding for smooth functions that vanish at both ends
    (Trefethen & Weideman 2014, SIAM Review 56).
    """

    theta: Floats
    log_weight: Floats


def grid_of(points: int = FINE, span: float = SPAN) -> Grid:
    """`points` abilities from -span to span. Raises ValueError for fewer than 3."""
    if points < 3 or span <= 0:  # noqa: PLR2004 two ends and a middle
        raise ValueError(f"{points=}, {span=}")
    theta = np.linspace(-span, span, points)
    log_density = -(theta**2) / 2
    return Grid(theta, log_density - logsumexp(log_density))


@dataclass(frozen=True, slots=True)
class Curves:
    """The families' curves at the points of a grid, with z = a theta + d.

    `rise`: ln(P / Q), `miss`: ln Q, both (families, points). `right_slope`, `slope`: a right
    response adds right_slope = 1 / (1 + c exp(-z)) to the derivative by z of the log-likelihood,
    any response takes slope = 1 / (1 + exp(-z)) from it. `line`: (families, 2), a and d, when no
    family has a floor: then ln(P / Q) is z itself, else None.
    """

    rise: Floats
    miss: Floats
    right_slope: Floats
    slope: Floats
    line: Floats | None


def curves(a: Floats, d: Floats, floor: Floats, grid: Grid) -> Curves:
    """Curves of families with slopes a, intercepts d = -a b and floors c: (families,) each.

    With P = c + (1 - c) / (1 + exp(-z)): P / Q = (c + exp(z)) / (1 - c) and
    ln Q = ln(1 - c) - ln(1 + exp(z)). Reference: Birnbaum 1968, as `response_model`.
    """
    z = a[:, None] * grid.theta + d[:, None]
    miss = np.log1p(-floor)[:, None] - np.logaddexp(0, z)
    if not floor.any():
        return Curves(z, miss, np.ones_like(z), expit(z), np.column_stack([a, d]))
    with np.errstate(divide="ignore"):
        log_floor = np.log(floor)[:, None]
    rise = np.logaddexp(log_floor, z) - np.log1p(-floor)[:, None]
    return Curves(rise, miss, expit(z - log_floor), expit(z), None)


@dataclass(frozen=True, slots=True)
class Ready:
    """Curves and grid in the precision of the evidence, laid out for its products."""

    theta: Work
    rise: Work
    line: Work | None
    miss: Work
    miss_all: Work
    log_weight: Work


def ready(shape: Curves, grid: Grid, kind: type[np.floating[Any]]) -> Ready:
    """Lay curves out for products with evidence in this precision."""
    return Ready(
        grid.theta.astype(kind),
        shape.rise.astype(kind),
        None if shape.line is None else shape.line.astype(kind),
        shape.miss.astype(kind),
        (shape.miss.sum(axis=0) + grid.log_weight).astype(kind),
        grid.log_weight.astype(kind),
    )


def weights(right: Any, given: Any | None, at: Ready) -> tuple[Work, Floats]:
    """Posterior weights of each person on the grid, and the log probability of their responses.

    Parameters
    ----------
    right, given : (people, families), parts of `Evidence`
    at : `ready` curves

    Returns
    -------
    weights : (people, points), each row sums to 1
    log_likelihood : (people,), log marginal probability under N(0, 1); 0 without responses
    """
    found, top = _over_top(right, given, at)
    total = found.sum(axis=1, keepdims=True)
    found /= total
    return found, (top.astype(np.float64) + np.log(total.astype(np.float64)))[:, 0]


def moments(right: Any, given: Any | None, at: Ready) -> tuple[Floats, Floats]:
    """Posterior mean and SD of each person, (people,) twice; shapes as `weights`.

    One product gives all three sums, so that the weights need not be scaled first.
    """
    found, _ = _over_top(right, given, at)
    total, first, second = (found @ np.stack([at.theta**0, at.theta, at.theta**2], axis=1)).T
    mean = first / total
    return mean, np.sqrt(np.maximum(second / total - mean**2, 0.0))


def _over_top(right: Any, given: Any | None, at: Ready) -> tuple[Work, Work]:
    """Posterior weights, each row over its greatest; and the logs of the greatest."""
    if at.line is None:
        found = right @ at.rise
    else:
        sums = right @ at.line
        found = sums[:, :1] * at.theta
        found += sums[:, 1:]
    if given is None:
        found += at.miss_all
    else:
        found += given @ at.miss
        found += at.log_weight
    top = found.max(axis=1, keepdims=True)
    found -= top
    np.exp(found, out=found)
    return found, top
