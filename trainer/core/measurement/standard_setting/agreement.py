"""How far judges agree: kappa for two on categories, intraclass correlations for many."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from trainer.core.measurement.response_model import Floats

Weights = Literal["plain", "linear", "quadratic"]
MATRIX = 2
ROUNDING = 1e-12


@dataclass(frozen=True, slots=True)
class Kappa:
    """Agreement beyond chance, at most 1; `se` of it, and `se_null` if there were none."""

    value: float
    se: float
    se_null: float


@dataclass(frozen=True, slots=True)
class Intraclass:
    """Intraclass correlations: of one judge (`_1`) and of the mean of all k judges (`_k`).

    `one_way`: judges differ from target to target; `absolute`: the same judges, and their level
    counts; `consistent`: the same judges, whose level does not count.
    """

    one_way_1: float
    absolute_1: float
    consistent_1: float
    one_way_k: float
    absolute_k: float
    consistent_k: float


@dataclass(frozen=True, slots=True)
class MeanSquares:
    """The two-way analysis of variance of targets (rows) by judges, one rating a cell."""

    targets: int
    judges: int
    of_targets: float
    of_judges: float
    residual: float
    within: float


def kappa(table: Floats, weights: Weights = "plain") -> Kappa:
    """Kappa of two judges.

    Parameters
    ----------
    table : (k, k), counts; rows what one judge said, columns the other
    weights : credit for near misses. linear 1 - |i - j| / (k - 1),
        quadratic 1 - (i - j)^2 / (k - 1)^2, plain none

    Returns
    -------
    Kappa; NaN where both judges used one category alone.

    Raises
    ------
    ValueError : If the table is not square, has fewer than two categories, is empty, or holds what
        is no count.

    References
    ----------
    Cohen 1960, Educational and Psychological Measurement 20; weighted: Cohen 1968, Psychological
    Bulletin 70; standard errors: Fleiss, Cohen & Everitt 1969, Psychological Bulletin 72.
    """
    if table.ndim != MATRIX or table.shape[0] != table.shape[1] or table.shape[0] < MATRIX:
        raise ValueError(f"{table.shape=}")
    n = float(table.sum())
    if not n > 0 or (table < 0).any():
        raise ValueError("the table is empty, or holds what is no count")
    p = table / n
    rows, columns = p.sum(axis=1), p.sum(axis=0)
    credit = _credit(len(p), weights)
    seen, chance = float((credit * p).sum()), float(rows @ credit @ columns)
    if chance >= 1:
        return Kappa(float("nan"), float("nan"), float("nan"))
    value = (seen - chance) / (1 - chance)
    margins = (credit @ columns)[:, None] + (rows @ credit)[None, :]
    spread = (p * (credit - margins * (1 - value)) ** 2).sum() - (value - chance * (1 - value)) ** 2
    null = (np.outer(rows, columns) * (credit - margins) ** 2).sum() - chance**2
    scale = n * (1 - chance) ** 2
    return Kappa(
        value, float(np.sqrt(max(spread, 0.0) / scale)), float(np.sqrt(max(null, 0.0) / scale))
    )


def mean_squares(ratings: Floats) -> MeanSquares:
    """Mean squares of ratings (targets, judges), at least two of each, complete.

    What differs by no more than rounding does not differ. Raises ValueError otherwise.
    """
    if ratings.ndim != MATRIX or min(ratings.shape) < MATRIX or not np.isfinite(ratings).all():
        raise ValueError(f"{ratings.shape=}: two targets and two judges at least, no gaps")
    n, k = ratings.shape
    if np.ptp(ratings) <= ROUNDING * np.abs(ratings).max():
        return MeanSquares(n, k, 0.0, 0.0, 0.0, 0.0)
    middle = ratings.mean()
    targets = k * ((ratings.mean(axis=1) - middle) ** 2).sum()
    judges = n * ((ratings.mean(axis=0) - middle) ** 2).sum()
    rest = max(((ratings - middle) ** 2).sum() - targets - judges, 0.0)
    return MeanSquares(
        targets=n,
        judges=k,
        of_targets=float(targets / (n - 1)),
        of_judges=float(judges / (k - 1)),
        residual=float(rest / ((n - 1) * (k - 1))),
        within=float((judges + rest) / (n * (k - 1))),
    )


def intraclass(ratings: Floats) -> Intraclass:
    """Intraclass correlations of ratings (targets, judges); NaN where nothing varies.

    Raises ValueError as `mean_squares`.

    References
    ----------
    McGraw & Wong 1996, Psychological Methods 1; Shrout & Fleiss 1979, Psychological Bulletin 86.
    """
    m = mean_squares(ratings)
    n, k = m.targets, m.judges
    level = k * (m.of_judges - m.residual) / n
    return Intraclass(
        one_way_1=_share(m.of_targets - m.within, m.of_targets + (k - 1) * m.within),
        absolute_1=_share(m.of_targets - m.residual, m.of_targets + (k - 1) * m.residual + level),
        consistent_1=_share(m.of_targets - m.residual, m.of_targets + (k - 1) * m.residual),
        one_way_k=_share(m.of_targets - m.within, m.of_targets),
        absolute_k=_share(m.of_targets - m.residual, m.of_targets + level / k),
        consistent_k=_share(m.of_targets - m.residual, m.of_targets),
    )


def cross_table(first: Floats, second: Floats, edges: Floats) -> Floats:
    """Two judges' ratings put into classes and counted: (k, k) for k - 1 rising edges.

    A rating at an edge belongs to the upper class.
    """
    k = len(edges) + 1
    places = [np.searchsorted(edges, each, side="right") for each in (first, second)]
    return np.bincount(places[0] * k + places[1], minlength=k * k).reshape(k, k).astype(float)


def _credit(k: int, weights: Weights) -> Floats:
    apart = np.abs(np.subtract.outer(np.arange(k), np.arange(k))) / (k - 1)
    if weights == "plain":
        return np.eye(k)
    return np.asarray(1 - (apart if weights == "linear" else apart**2))


def _share(top: float, bottom: float) -> float:
    return top / bottom if bottom > 0 else float("nan")
