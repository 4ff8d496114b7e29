"""S-X2: does a family's curve fit, group by group of people with the same number right?"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.stats import chi2

from trainer.core.measurement.evidence import Marks
from trainer.core.measurement.posterior import Grid, grid_of
from trainer.core.measurement.response_model import Floats, probability

LEAST_EXPECTED = 1.0
"""Neighbouring groups, from the lowest up, are put together until each expects so many right and so
many wrong; what is left at the top goes to the last."""


@dataclass(frozen=True, slots=True)
class ScoreGroupFit:
    """Per family: chi-square, degrees of freedom >= 0, and its p value; NaN where none are left."""

    x2: Floats
    df: Floats
    p: Floats


def s_x2(marks: Marks, a: Floats, b: Floats, floor: Floats, free: int = 2) -> ScoreGroupFit:
    """Observed against expected shares right, in groups by number right.

    Parameters
    ----------
    marks : (people, families) of 1 right and 0 wrong; people with any response missing are left
        out
    a, b, floor : (families,), as `response_model.probability`, with its errors
    free : parameters estimated for each family: 2, or 1 where the slope is common

    Raises
    ------
    ValueError : If nobody answered everything, or there are fewer than three families.

    Notes
    -----
    E(k) = integral P S'(k - 1) phi / integral S(k) phi, with S(k) the chance of k right at an
    ability and S' the same without the family, by the recursion of Lord & Wingersky 1984.

    References
    ----------
    Orlando & Thissen 2000, Applied Psychological Measurement 24.
    """
    complete = marks[(marks >= 0).all(axis=1)]
    families = marks.shape[1]
    if not len(complete) or families < 3:  # noqa: PLR2004 a group needs a middle
        raise ValueError(f"{len(complete)=}, {families=}")
    grid = grid_of()
    expected = _expected(probability(grid.theta, a, b, floor), grid)
    total = complete.sum(axis=1)
    people = _floats(np.bincount(total, minlength=families + 1)[1:-1])
    found = np.array(
        [
            _compared(
                _floats(np.bincount(total, complete[:, place], families + 1)[1:-1]),
                expected[place, 1:-1],
                people,
            )
            for place in range(families)
        ]
    )
    df = np.maximum(found[:, 1] - free, 0.0)
    tail = np.where(df > 0, chi2.sf(found[:, 0], np.maximum(df, 1)), np.nan)
    return ScoreGroupFit(np.where(df > 0, found[:, 0], np.nan), df, tail)


def _floats(counts: NDArray[Any]) -> Floats:
    return counts.astype(np.float64)


def _expected(p: Floats, grid: Grid) -> Floats:
    """Expected share right by family and number right: (families, families + 1)."""
    points, families = p.shape
    weight = np.exp(grid.log_weight)
    shape = (families + 1, points)
    without = np.zeros((families, *shape))
    without[:, 0] = 1
    for place in range(families):
        grown = without * (1 - p[:, place])
        grown[:, 1:] += without[:, :-1] * p[:, place]
        grown[place] = without[place]
        without = grown
    all_in = without[0] * (1 - p[:, 0])
    all_in[1:] += without[0, :-1] * p[:, 0]
    shares = np.zeros((families, families + 1))
    shares[:, 1:] = np.einsum("jkq,qj,q->jk", without[:, :-1], p, weight) / (all_in[1:] @ weight)
    return shares


def _compared(right: Floats, share: Floats, people: Floats) -> tuple[float, int]:
    """Chi-square and the number of groups, once neighbours are put together."""
    groups = _joined(right, share, people)
    x2 = sum(
        (seen - wanted) ** 2 / wanted + (seen - wanted) ** 2 / (count - wanted)
        for seen, wanted, count in groups
    )
    return float(x2), len(groups)


def _joined(right: Floats, share: Floats, people: Floats) -> list[tuple[float, float, float]]:
    """(right, expected right, people) of groups that each expect enough."""
    groups: list[tuple[float, float, float]] = []
    held = (0.0, 0.0, 0.0)
    for seen, wanted, count in zip(right, share * people, people, strict=True):
        held = (held[0] + seen, held[1] + wanted, held[2] + count)
        if min(held[1], held[2] - held[1]) >= LEAST_EXPECTED:
            groups.append(held)
            held = (0.0, 0.0, 0.0)
    if held[2] and groups:
        last = groups.pop()
        groups.append((last[0] + held[0], last[1] + held[1], last[2] + held[2]))
    return groups
