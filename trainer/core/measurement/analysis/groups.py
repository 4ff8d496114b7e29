"""Who of a response table answered everything, and who belongs to which of two groups."""

import csv
from collections.abc import Iterator, Sequence
from io import StringIO

import numpy as np

from trainer.core.measurement.calibration.table import Table
from trainer.core.measurement.evidence import NOT_GIVEN
from trainer.core.measurement.response_model import Floats
from trainer.core.problems import InputProblem

COLUMNS = ["person", "group"]
PAIR, FIRST_ROW = 2, 2


def complete_rows(table: Table) -> tuple[tuple[str, ...], Floats]:
    """The people who gave every response, and their marks (people, items) of 0 and 1."""
    whole = np.asarray((table.marks != NOT_GIVEN).all(axis=1))
    people = tuple(name for name, keep in zip(table.people, whole, strict=True) if keep)
    return people, table.marks[whole].astype(float)


def read_groups(text: str, name: str, people: Sequence[str]) -> tuple[tuple[str, ...], list[str]]:
    """Read who belongs to which group: columns `person` and `group`.

    Returns the two group names, sorted (the first is the reference), and the group of each of
    `people` in their order. People of the file who are not among `people` are passed over.

    Raises InputProblem naming the file and the line or person: no such columns, a line without
    group, a person twice or missing, another number of groups than two.
    """
    rows = csv.reader(StringIO(text.removeprefix("\ufeff"), newline=""))
    if [word.strip() for word in next(rows, [])] != COLUMNS:
        raise InputProblem("needs the columns person and group", f"{name}, line 1", "Name both.")
    found: dict[str, str] = {}
    for line, (person, group) in _pairs(rows, name):
        if person in found:
            what = f"the person {person} stands here a second time"
            raise InputProblem(what, f"{name}, line {line}, column person", "Keep one row.")
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


def _pairs(rows: Iterator[list[str]], name: str) -> Iterator[tuple[int, tuple[str, str]]]:
    """Line numbers and the two cells of every line that is not blank."""
    line = FIRST_ROW
    try:
        for line, row in enumerate(rows, FIRST_ROW):
            words = [word.strip() for word in row]
            if words and (len(words) != PAIR or not all(words)):
                where = f"{name}, line {line}"
                raise InputProblem("needs a person and a group", where, "Give both.")
            if words:
                yield line, (words[0], words[1])
    except csv.Error as problem:
        raise InputProblem(f"is not CSV: {problem}", f"{name}, line {line}", "Mend it.") from None
