"""A table of responses as a file holds it: one row a person, one column an item."""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from io import StringIO

import numpy as np

from trainer.core.measurement.evidence import NOT_GIVEN, Marks
from trainer.core.problems import InputProblem

PERSON = "person"
MEANING = {"1": 1, "0": 0, "": NOT_GIVEN % 256}
"""Marks as bytes: -1 is 255."""
FIRST_ROW = 2


@dataclass(frozen=True, slots=True)
class Table:
    """People, items, and `marks` (people, items): 1 right, 0 wrong, -1 not given."""

    people: tuple[str, ...]
    items: tuple[str, ...]
    marks: Marks


def read_table(text: str, name: str) -> Table:
    """Responses from CSV: first column `person`, then one column an item, of 0, 1 or empty.

    `name` is the file's, for messages. Raises InputProblem naming file, line and column.
    """
    rows = csv.reader(StringIO(text.removeprefix("\ufeff"), newline=""))
    items = _items(next(rows, []), name)
    people: dict[str, int] = {}
    lines: list[bytes] = []
    for line, row in _filled(rows, name):
        where = f"{name}, line {line}"
        if len(row) != len(items) + 1:
            what = f"has {len(row)} cells where the heading has {len(items) + 1}"
            raise InputProblem(what, where, "Give every row a cell for every column.")
        person = row[0].strip()
        if not person or person in people:
            what = (
                f"comes twice: {person} (first on line {people[person]})" if person else "is empty"
            )
            raise InputProblem(what, f"{where}, column {PERSON}", "Give each person one row.")
        people[person] = line
        lines.append(_marks(row, items, where))
    if not lines:
        raise InputProblem("has no rows", name, "Give one row a person under the heading.")
    marks = np.frombuffer(b"".join(lines), np.int8).reshape(len(lines), -1)
    return Table(tuple(people), items, marks)


def _items(heading: list[str], name: str) -> tuple[str, ...]:
    where = f"{name}, line 1"
    columns = [column.strip() for column in heading]
    if len(columns) <= 1 or columns[0] != PERSON:
        what = "is no heading of `person` and at least one item"
        raise InputProblem(what, where, "Begin with: person,item1,item2")
    for place, column in enumerate(columns[1:], 2):
        if not column or column in columns[: place - 1]:
            what = f"comes twice: {column}" if column else "has no name"
            raise InputProblem(what, f"{where}, column {place}", "Name each item once.")
    return tuple(columns[1:])


def _filled(rows: Iterator[list[str]], name: str) -> Iterator[tuple[int, list[str]]]:
    """Rows that are not blank, with their line numbers."""
    line = FIRST_ROW
    try:
        for line, row in enumerate(rows, FIRST_ROW):
            if row:
                yield line, row
    except csv.Error as problem:
        raise InputProblem(f"is not CSV: {problem}", f"{name}, line {line}", "Mend it.") from None


def _marks(row: list[str], items: tuple[str, ...], where: str) -> bytes:
    try:
        return bytes([MEANING[cell] for cell in row[1:]])
    except KeyError:
        pass
    marks = bytearray()
    for item, cell in zip(items, row[1:], strict=True):
        mark = MEANING.get(cell.strip())
        if mark is None:
            raise InputProblem(
                f"is {cell.strip()!r}", f"{where}, column {item}", "Give 1, 0 or nothing."
            )
        marks.append(mark)
    return bytes(marks)


def refuse_what_has_no_estimate(table: Table, fewest: int, lost: list[int], name: str) -> None:
    """Raise InputProblem for too few items, or the first of those without estimate (`lost`)."""
    remedy = "Leave the column out, or use --prior default."
    if len(table.items) < fewest:
        what = f"names too few items: {len(table.items)}, and this model needs {fewest}"
        raise InputProblem(what, f"{name}, line 1", "Add items, or use --prior default.")
    for number in lost:
        said = table.marks[:, number]
        how = "nobody answered it" if (said < 0).all() else "everybody who answered it was right"
        if (said == 0).any():
            how = "nobody who answered it was right"
        raise InputProblem(
            f"has no estimate: {how}",
            f"{name}, line 1, column {table.items[number]}",
            remedy,
        )
