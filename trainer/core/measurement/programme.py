"""Whole-number programmes in few words: rows of limits, a worth to be as large as can be."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from trainer.core.measurement.response_model import Floats


@dataclass(frozen=True, slots=True)
class Row:
    """One limit: least <= sum of amounts[i] * x[columns[i]] <= most."""

    columns: NDArray[np.intp]
    amounts: Floats
    least: float
    most: float

    def shifted(self, by: int) -> "Row":
        """The same limit on columns that stand `by` places later."""
        return Row(self.columns + by, self.amounts, self.least, self.most)

    def times(self, forms: int) -> "Row":
        """The limit on that many forms together."""
        return Row(self.columns, self.amounts, self.least * forms, self.most * forms)


@dataclass(frozen=True, slots=True)
class Solution:
    """x: (columns,). `worth`: what it is worth. `bound`: proven, nothing is worth more."""

    x: Floats
    worth: float
    bound: float


def row_of(amounts: Floats, least: float = -np.inf, most: float = np.inf) -> Row:
    """A limit on all columns at once; those with amount 0 are left out."""
    columns = np.flatnonzero(amounts)
    return Row(columns, np.asarray(amounts, dtype=float)[columns], least, most)


def solve(
    worth: Floats,
    rows: Sequence[Row],
    *,
    most: Floats | float = 1.0,
    free: int = 0,
    gap: float = 0.0,
    nodes: int | None = None,
) -> Solution | None:
    """The x of largest worth within the rows, by branch and bound (HiGHS).

    Parameters
    ----------
    worth : (columns,)
    rows : the limits; columns counted from 0
    most : (columns,) or one number: 0 <= x <= most
    free : that many of the last columns may be broken numbers; the others are whole
    gap : proven relative gap at which to stop, >= 0
    nodes : branches after which to stop with what was found

    Returns
    -------
    None when no x keeps every row (or none was found within `nodes`). Without columns x is empty,
    and keeps the rows whose limits hold 0.

    Raises
    ------
    ValueError : If a worth is no number.

    References
    ----------
    Huangfu & Hall 2018, Mathematical Programming Computation 10 (the solver); van der Linden
    2005, Linear Models for Optimal Test Design (test assembly as such a programme).
    """
    if not np.isfinite(worth).all():
        raise ValueError("a worth is no number")
    if not len(worth):
        empty = all(row.least <= 0 <= row.most for row in rows)
        return Solution(np.empty(0), 0.0, 0.0) if empty else None
    whole = np.ones(len(worth))
    if free:
        whole[-free:] = 0
    options: dict[str, float | int] = {"mip_rel_gap": gap}
    if nodes is not None:
        options["node_limit"] = nodes
    found = milp(
        -np.asarray(worth, dtype=float),
        integrality=whole,
        bounds=Bounds(0.0, most),
        constraints=_constraints(rows, len(worth)),
        options=options,
    )
    if found.x is None:
        return None
    x = np.where(whole > 0, np.round(found.x), found.x)
    best = float(worth @ x)
    bound = best if found.mip_dual_bound is None else max(best, -float(found.mip_dual_bound))
    return Solution(x, best, bound)


def _constraints(rows: Sequence[Row], columns: int) -> LinearConstraint | None:
    if not rows:
        return None
    places = np.repeat(np.arange(len(rows)), [len(row.columns) for row in rows])
    matrix = csr_array(
        (
            np.concatenate([row.amounts for row in rows]),
            (places, np.concatenate([row.columns for row in rows])),
        ),
        shape=(len(rows), columns),
    )
    return LinearConstraint(
        matrix, np.array([row.least for row in rows]), np.array([row.most for row in rows])
    )
