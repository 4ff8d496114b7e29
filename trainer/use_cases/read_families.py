"""Families with their parameters from a table: what forms may be made of, outside the bank."""

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from io import StringIO

import numpy as np

from trainer.core.measurement.requirement import Candidate
from trainer.core.measurement.response_model import Floats
from trainer.core.problems import InputProblem

SAME = {"item": "family", "id": "family", "content": "topic", "enemy": "enemy_set", "c": "floor"}
"""Other headings for the same columns."""
NEEDED = ("family", "topic", "a", "b")
NUMBERS = ("a", "b", "floor", "seconds", "words", "lately")
YES, NO = ("1", "true", "yes"), ("", "0", "false", "no")


@dataclass(frozen=True, slots=True)
class Pool:
    """Families, and slope, difficulty and floor of each: (families,)."""

    families: tuple[Candidate, ...]
    a: Floats
    b: Floats
    floor: Floats


def read_families(name: str, text: str) -> Pool:
    """Read a table of families: a heading line, then a line each.

    Columns: family (or item), topic (or content), a > 0, b; if known floor 0..1, service, type,
    critical (1 or 0), seconds, words, enemy_set (or enemy), enemies (ids, blanks between), lately
    (share of the last forms that used it, 0..1). Others are passed over.

    Raises InputProblem naming line and column.
    """
    found = list(_rows(name, text))
    if not found:
        raise InputProblem("has no families", name, "Give a heading and a line for each family.")
    ids = [one["family"] for _, one in found]
    seen: set[str] = set()
    for (where, _), one in zip(found, ids, strict=True):
        if not one or one in seen:
            what = f"stands twice: {one}" if one else "is empty"
            raise InputProblem(what, f"{where}, family", "Give each family an id of its own.")
        seen.add(one)
    a, b, floor = (
        np.array([_number(where, row, name) for where, row in found])
        for name in ("a", "b", "floor")
    )
    return Pool(tuple(_candidate(where, row) for where, row in found), a, b, floor)


def _rows(name: str, text: str) -> Iterator[tuple[str, Mapping[str, str]]]:
    """(file and line, column -> text), headings in our words."""
    reader = csv.reader(StringIO(text, newline=""), strict=True)
    heading: list[str] | None = None
    try:
        for cells in reader:
            where = f"{name}, line {reader.line_num}"
            if not any(cell.strip() for cell in cells):
                continue
            if heading is None:
                heading = _heading(where, cells)
                continue
            if len(cells) != len(heading):
                what = f"has {len(cells)} columns, the heading has {len(heading)}"
                raise InputProblem(what, where, "Mend that line.")
            yield where, dict(zip(heading, (cell.strip() for cell in cells), strict=True))
    except csv.Error as problem:
        where = f"{name}, line {reader.line_num}"
        raise InputProblem(f"is not CSV: {problem}", where, "Mend that line.") from None


def _heading(where: str, cells: list[str]) -> list[str]:
    plain = [cell.strip().lower().removeprefix("\ufeff") for cell in cells]
    found = [SAME.get(cell, cell) if SAME.get(cell) not in plain else cell for cell in plain]
    for column in NEEDED:
        if column not in found:
            known = "family, topic, a, b; and floor, service, type, critical, seconds, words, "
            raise InputProblem(
                f"has no column {column}", where, f"Name {known}enemy_set, enemies, lately."
            )
    twice = next((one for one in found if found.count(one) > 1), None)
    if twice:
        raise InputProblem(f"names {twice} twice", where, "Name each column once.")
    return found


def _candidate(where: str, row: Mapping[str, str]) -> Candidate:
    if not row["topic"]:
        raise InputProblem("is empty", f"{where}, topic", "Name the topic.")
    return Candidate(
        row["family"],
        row["topic"],
        _flag(where, row),
        tuple(row.get("enemies", "").replace(";", " ").split()),
        row.get("service", ""),
        row.get("type", ""),
        row.get("enemy_set", ""),
        _number(where, row, "seconds"),
        _number(where, row, "words"),
        _number(where, row, "lately"),
    )


def _flag(where: str, row: Mapping[str, str]) -> bool:
    said = row.get("critical", "").lower()
    if said not in (*YES, *NO):
        raise InputProblem(f"is neither yes nor no: {said}", f"{where}, critical", "Give 1 or 0.")
    return said in YES


def _number(where: str, row: Mapping[str, str], column: str) -> float:
    """A number of the row; 0 for a column that may be left out."""
    said = row.get(column, "")
    if not said and column not in NEEDED:
        return 0.0
    spot = f"{where}, {column}"
    try:
        value = float(said)
    except ValueError:
        raise InputProblem(f"is no number: {said or 'empty'}", spot, "Give a number.") from None
    if not np.isfinite(value) or (column not in ("b",) and value < 0):
        raise InputProblem(f"cannot be {said}", spot, "Give a number from 0 up.")
    if (column == "a" and value == 0) or (column == "floor" and value >= 1):
        raise InputProblem(f"cannot be {said}", spot, "a lies above 0, floor below 1.")
    return value
