"""Outside values of measurement: small tables with their source, and what must come of them."""

import csv
from pathlib import Path
from typing import NamedTuple

import numpy as np

FOLDER = Path(__file__).parents[1] / "core/measurement/references"


class Expected(NamedTuple):
    """One value: what, of what, how much, and how far off it may be."""

    quantity: str
    key: str
    value: float
    tolerance: float


def rows_of(name):
    """A table without its source line, as dictionaries."""
    lines = (FOLDER / f"{name}.csv").read_text().splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def expected(name):
    """Every row of an expected file."""
    return [
        Expected(row["quantity"], row["key"], float(row["value"]), float(row["tolerance"] or 0))
        for row in rows_of(f"expected_{name}")
    ]


def matrix(name):
    """(columns, values): empty cells are NaN."""
    rows = rows_of(name)
    values = [[float(cell) if cell else np.nan for cell in row.values()] for row in rows]
    return list(rows[0]), np.array(values)


def complete(name):
    """(items, marks) of a data set, complete rows only; patterns are spelt out by their counts."""
    items, values = matrix(name)
    if items[-1] == "count":
        return items[:-1], np.repeat(values[:, :-1], values[:, -1].astype(int), axis=0)
    return items, values[~np.isnan(values).any(axis=1)]


def by_name(row):
    """A test's name for a row."""
    return f"{row.quantity} {row.key}".strip()


def agrees(found, row):
    """Whether a value is the expected one, within its tolerance; with 0 it must be the very one."""
    assert abs(found - row.value) <= row.tolerance, f"{by_name(row)}: {found} not {row.value}"
