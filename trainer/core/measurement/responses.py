"""A table of responses, read from text: one row a person, one column an item."""

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import StringIO

import numpy as np

from trainer.core.measurement.response_model import Floats
from trainer.core.problems import InputProblem

MARKS: Mapping[str, float] = {"0": 0.0, "1": 1.0, "": float("nan")}
HEADING = 1
"""The line of the heading: the first person stands on line 2."""
LEAST_COLUMNS, PAIR = 2, 2


@dataclass(frozen=True, slots=True)
class ResponseTable:
    """Marked responses: `marks` (people, items), 1 right, 0 wrong, NaN not given."""

    people: tuple[str, ...]
    items: tuple[str, ...]
    marks: Floats

    def complete(self) -> "ResponseTable":
        """Only the people who gave every response."""
        whole = np.asarray(~np.isnan(self.marks).any(axis=1))
        kept = tuple(name for name, keep in zip(self.people, whole, strict=True) if keep)
        return ResponseTable(kept, self.items, self.marks[whole])


def read_responses(text: str, name: str) -> ResponseTable:
    """Read a table of responses: first column `person`, then items, cells 0, 1 or empty.

    Raises InputProblem naming the file, the row and the column: an empty table, a heading that
    does not begin with `person` or repeats an item, a row of another length, a person twice, a
    cell that is neither 0, 1 nor empty.
    """
    rows = list(csv.reader(StringIO(text.removeprefix("\ufeff"))))
    heading = [word.strip() for word in rows[0]] if rows else []
    _check_heading(heading, name)
    people: list[str] = []
    marks: list[list[float]] = []
    for line, row in enumerate(rows[1:], HEADING + 1):
        if row:
            people.append(_person(row, heading, f"{name}, row {line}"))
            marks.append(_marks(row, heading, f"{name}, row {line}"))
    if not people:
        raise InputProblem("has no people", name, "Give one row for each person.")
    _each_once(people, name)
    return ResponseTable(tuple(people), tuple(heading[1:]), np.array(marks))


def read_groups(text: str, name: str, people: Sequence[str]) -> tuple[tuple[str, ...], list[str]]:
    """Read who belongs to which group: columns `person` and `group`.

    Returns the two group names, sorted (the first is the reference), and the group of each of
    `people` in their order. People of the file who are not among `people` are passed over.

    Raises InputProblem naming the file and the row or person: no such columns, a row without
    group, a person twice or missing, another number of groups than two.
    """
    rows = list(csv.reader(StringIO(text.removeprefix("\ufeff"))))
    if not rows or [word.strip() for word in rows[0]] != ["person", "group"]:
        raise InputProblem("needs the columns person and group", f"{name}, row 1", "Name both.")
    found: dict[str, str] = {}
    for line, row in enumerate(rows[1:], HEADING + 1):
        if row:
            person, group = _pair(row, f"{name}, row {line}")
            if person in found:
                what = f"the person {person} stands here a second time"
                raise InputProblem(what, f"{name}, row {line}, column person", "Keep one row.")
            found[person] = group
    missing = next((person for person in people if person not in found), None)
    if missing is not None:
        raise InputProblem(f"has no row for {missing}", f"{name}, column person", "Add the person.")
    of_each = [found[person] for person in people]
    names = tuple(sorted(set(of_each)))
    if len(names) != PAIR:
        what = f"has {len(names)} groups ({', '.join(names[:5])})"
        raise InputProblem(what, f"{name}, column group", "Give two groups.")
    return names, of_each


def _check_heading(heading: Sequence[str], name: str) -> None:
    where = f"{name}, row 1"
    if not heading or heading[0] != "person":
        raise InputProblem("does not begin with `person`", where, "Name the first column person.")
    if len(heading) < LEAST_COLUMNS:
        raise InputProblem("names no items", where, "Add a column for each item.")
    for column, word in enumerate(heading, 1):
        if not word:
            raise InputProblem("has no name", f"{where}, column {column}", "Name the item.")
        if word in heading[: column - 1]:
            raise InputProblem(
                f"names {word} a second time", f"{where}, column {column}", "Name each item once."
            )


def _person(row: Sequence[str], heading: Sequence[str], where: str) -> str:
    if len(row) != len(heading):
        what = f"has {len(row)} cells where the heading has {len(heading)}"
        raise InputProblem(what, where, "Give one cell for each column; leave a gap empty.")
    if not row[0].strip():
        raise InputProblem("names nobody", f"{where}, column person", "Name the person.")
    return row[0].strip()


def _marks(row: Sequence[str], heading: Sequence[str], where: str) -> list[float]:
    try:
        return [MARKS[cell.strip()] for cell in row[1:]]
    except KeyError:
        column, cell = next(
            (item, cell)
            for item, cell in zip(heading[1:], row[1:], strict=True)
            if cell.strip() not in MARKS
        )
        raise InputProblem(
            f"is '{cell.strip()[:20]}'", f"{where}, column {column}", "Give 0, 1 or nothing."
        ) from None


def _each_once(people: Sequence[str], name: str) -> None:
    seen: dict[str, int] = {}
    for row, person in enumerate(people, HEADING + 1):
        if person in seen:
            raise InputProblem(
                f"the person {person} stands here a second time (first in row {seen[person]})",
                f"{name}, row {row}, column person",
                "Keep one row for each person.",
            )
        seen[person] = row


def _pair(row: Sequence[str], where: str) -> tuple[str, str]:
    words = [word.strip() for word in row]
    if len(words) != PAIR or not all(words):
        raise InputProblem("needs a person and a group", where, "Give both.")
    return words[0], words[1]
