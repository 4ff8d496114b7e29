"""Outside data and values: read from references/, each with its source on its first line."""

import csv
from pathlib import Path

import numpy as np

REFERENCES = Path(__file__).parent / "references"


def _rows(name):
    with (REFERENCES / name).open(newline="") as lines:
        assert next(lines).startswith("# ")
        yield from csv.DictReader(lines)


def data(name):
    """Items and marks (people, items); patterns with a count are laid out person by person."""
    rows = list(_rows(f"{name}.csv"))
    items = [column for column in rows[0] if column not in {"count", "group"}]
    marks = np.array([[int(row[i]) if row[i] else -1 for i in items] for row in rows], np.int8)
    return items, np.repeat(marks, [int(row.get("count", 1)) for row in rows], axis=0)


def bank60():
    rows = list(_rows("bank60.csv"))
    return {name: np.array([float(row[name]) for row in rows]) for name in ("a", "b", "response")}


def expected(name):
    """Rows (quantity, key, value, tolerance) of a file of expected values."""
    return [
        (row["quantity"], row["key"], float(row["value"]), float(row["tolerance"]))
        for row in _rows(f"{name}.csv")
    ]
