"""OneRoster 1.2 CSV sets as tables: a zip unpacked within bounds, and every cell held to the rules.

1EdTech OneRoster 1.2.1, CSV binding; headers, required columns and vocabularies stand beside this
file. All faults are found before anything is used.
"""

import csv
import io
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files as resources
from typing import Any
from zipfile import ZipFile

from trainer.core.exchange.csv_cells import plain
from trainer.core.exchange.zip_files import UNREADABLE

LARGEST = 16 * 1024 * 1024
"""Bytes of all files together, unpacked."""
MOST_FILES, MOST_ROWS, LONGEST_CELL = 30, 50_000, 4_000
RATIO = 200
"""A file that is packed tighter than this is not a table that people wrote."""
MANIFEST = "manifest.csv"
BULK, DELTA, ABSENT = "bulk", "delta", "absent"
GONE = "tobedeleted"
EXTENSION = "ext:"
"""Begins a value that a house adds to a vocabulary (OneRoster 1.2; from memory)."""
CLOSED = ("status", "enabledUser")
"""Columns to whose words nobody may add."""
METADATA = "metadata."
BYTE_ORDER_MARK = "\ufeff"
EVERY_VALUE = {"enabledUser": ("true", "false")}
REFERENCES = (
    ("users.csv", "primaryOrgSourcedId", "orgs.csv"),
    ("roles.csv", "userSourcedId", "users.csv"),
    ("roles.csv", "orgSourcedId", "orgs.csv"),
    ("orgs.csv", "parentSourcedId", "orgs.csv"),
    ("courses.csv", "orgSourcedId", "orgs.csv"),
    ("classes.csv", "schoolSourcedId", "orgs.csv"),
    ("classes.csv", "courseSourcedId", "courses.csv"),
    ("classes.csv", "termSourcedIds", "academicSessions.csv"),
    ("academicSessions.csv", "parentSourcedId", "academicSessions.csv"),
    ("enrollments.csv", "classSourcedId", "classes.csv"),
    ("enrollments.csv", "schoolSourcedId", "orgs.csv"),
    ("enrollments.csv", "userSourcedId", "users.csv"),
)
"""Where a cell names a row of another table; a cell may name several, by commas."""


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong, and where. `line` 0 is the whole file, `column` '' the whole line."""

    file: str
    line: int
    column: str
    what: str

    def __str__(self) -> str:
        """'users.csv, line 3, username: is empty'."""
        place = [self.file]
        place += [f"line {self.line}"] if self.line else []
        place += [self.column] if self.column else []
        return f"{', '.join(place)}: {self.what}"


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its line in the file, and its cells by column."""

    line: int
    cells: Mapping[str, str]

    @property
    def id(self) -> str:
        """Its sourcedId."""
        return self.cells["sourcedId"]

    @property
    def gone(self) -> bool:
        """Whether it is to be deleted."""
        return self.cells["status"] == GONE


@dataclass(frozen=True, slots=True)
class Tables:
    """What a set says: per table how it is given (bulk, delta, absent) and its rows."""

    ways: Mapping[str, str]
    rows: Mapping[str, Sequence[Row]]
    passed_over: Sequence[str] = field(default=())
    """Files of the set that nothing here reads."""

    def way(self, table: str) -> str:
        """How a table is given; absent where the set does not speak of it."""
        return self.ways.get(table, ABSENT)

    def of(self, table: str) -> Sequence[Row]:
        """The rows of a table."""
        return self.rows.get(table, ())


@cache
def binding() -> Mapping[str, Any]:
    """Headers, required columns and vocabularies, as the binding has them."""
    text = resources("trainer.core.exchange").joinpath("oneroster-1.2-csv.json").read_text("utf-8")
    found: Mapping[str, Any] = json.loads(text)
    return found


def read_tables(
    content: bytes, known: Mapping[str, frozenset[str]] | None = None
) -> tuple[Tables, list[Fault]]:
    """Read a set.

    Parameters
    ----------
    content : The zip.
    known : Table -> sourcedIds that an earlier set brought, to which a set that is not bulk may
        refer.

    Returns
    -------
    The tables, and everything that is wrong with them; use them only where nothing is.
    """
    texts, faults = _unpacked(content)
    if faults:
        return Tables({}, {}), faults
    ways, faults = _manifest(texts)
    if faults:
        return Tables({}, {}), faults
    rows: dict[str, list[Row]] = {}
    for name in binding()["tables"]:
        if ways.get(name, ABSENT) != ABSENT and name != MANIFEST:
            found, wrong = _table(name, texts[name], ways[name])
            rows |= {name: found} if found is not None else {}
            faults += wrong
    passed_over = sorted(set(texts) - set(binding()["tables"]))
    tables = Tables(ways, rows, passed_over)
    return tables, in_order([*faults, *_dangling(tables, known or {})])


def _unpacked(content: bytes) -> tuple[dict[str, str], list[Fault]]:
    """Every file's text, within bounds."""
    try:
        with ZipFile(io.BytesIO(content)) as archive:
            wrong = _too_much(archive)
            if wrong:
                return {}, [Fault("the zip", 0, "", wrong)]
            packed = {one.filename: archive.read(one) for one in archive.infolist()}
    except UNREADABLE:
        return {}, [
            Fault(
                "the file",
                0,
                "",
                "is no zip that can be read; pack the four tables into one zip and send that",
            )
        ]
    texts, faults = {}, []
    for name, raw in packed.items():
        try:
            texts[name] = raw.decode("utf-8").removeprefix(BYTE_ORDER_MARK)
        except UnicodeDecodeError:
            faults.append(Fault(name, 0, "", "is not UTF-8; save it again as CSV in UTF-8"))
    return texts, faults


def _too_much(archive: ZipFile) -> str:
    """What of an archive is out of bounds, before anything is unpacked."""
    inside = archive.infolist()
    names = [one.filename for one in inside]
    if any("/" in name or "\\" in name for name in names):
        return "has folders; put the files at its top"
    if len(names) > MOST_FILES or len(set(names)) < len(names):
        return f"has more than {MOST_FILES} files, or one twice"
    if sum(one.file_size for one in inside) > LARGEST:
        return f"unpacks to more than {LARGEST // 1024**2} MB"
    if any(one.file_size > RATIO * max(1, one.compress_size) for one in inside):
        return "is packed too tightly to be tables"
    return ""


def _manifest(texts: Mapping[str, str]) -> tuple[dict[str, str], list[Fault]]:
    """How each table is given; every file is named, and every named file is there."""
    if MANIFEST not in texts:
        return {}, [Fault(MANIFEST, 0, "", "is not in the zip")]
    rows, faults = _table(MANIFEST, texts[MANIFEST], BULK)
    said = {row.cells["propertyName"]: row for row in rows or ()}
    for name, value in binding()["manifest"].items():
        if name not in said:
            faults.append(Fault(MANIFEST, 0, name, "is missing"))
        elif said[name].cells["value"] != value:
            faults.append(Fault(MANIFEST, said[name].line, name, f"is not {value}"))
    ways = {}
    for name, row in said.items():
        if name.startswith("file."):
            file = f"{name.removeprefix('file.')}.csv"
            ways[file] = row.cells["value"]
            wrong = _wrong_way(file, row.cells["value"], file in texts)
            faults += [Fault(MANIFEST, row.line, name, wrong)] if wrong else []
    unnamed = sorted(set(texts) - set(ways) - {MANIFEST})
    return ways, faults + [Fault(MANIFEST, 0, "", f"does not name {one}") for one in unnamed]


def _wrong_way(file: str, way: str, there: bool) -> str:
    """What is wrong with how the manifest says that a file is given; '' for nothing."""
    if way not in (BULK, DELTA, ABSENT):
        return f"is {way!r}; known are bulk, delta, absent"
    if (way != ABSENT) != there:
        return f"says {way}, but {file} {'is there' if there else 'is not there'}"
    return ""


def _table(name: str, text: str, way: str) -> tuple[list[Row] | None, list[Fault]]:
    """The rows of one file (None where it is no table) and what is wrong with them."""
    header, required = (binding()["tables"][name][part] for part in ("header", "required"))
    if way == DELTA:
        required = [*required, "status", "dateLastModified"]
    lines = _lines(text)
    try:
        first = next(lines, (1, []))[1]
        wrong = _wrong_header(first, header)
        if wrong:
            return None, [Fault(name, 1, wrong, f"is not the header of {name}")]
        rows, faults = [], []
        for line, cells in lines:
            if len(cells) != len(first):
                faults.append(Fault(name, line, "", f"{len(cells)} cells under {len(first)} names"))
                continue
            row = Row(line, dict(zip(header, map(plain, cells), strict=False)))
            faults += [Fault(name, line, *one) for one in _wrong_cells(name, row, required)]
            rows.append(row)
            if len(rows) > MOST_ROWS:
                return None, [Fault(name, line, "", f"is beyond {MOST_ROWS} rows")]
    except csv.Error as problem:
        return None, [Fault(name, 0, "", f"is no CSV: {problem}")]
    return rows, faults + _twice(name, rows)


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each record with the line on which it begins; empty lines are passed over."""
    reader, line = csv.reader(io.StringIO(text, newline=""), strict=True), 1
    for cells in reader:
        if cells:
            yield line, cells
        line = reader.line_num + 1


def _wrong_header(found: Sequence[str], header: Sequence[str]) -> str:
    """The first name that is not where it should be; '' when all are."""
    for place, name in enumerate(header):
        if place >= len(found) or found[place] != name:
            return name
    return next((name for name in found[len(header) :] if not name.startswith(METADATA)), "")


def _wrong_cells(name: str, row: Row, required: Sequence[str]) -> Iterator[tuple[str, str]]:
    """(column, what is wrong) for each cell of a row."""
    words = binding()["vocabulary"]
    for column, cell in row.cells.items():
        allowed = words.get(f"{name.removesuffix('.csv')}.{column}", EVERY_VALUE.get(column))
        allowed = words["status"] if column == "status" else allowed
        if not cell:
            if column in required:
                yield column, "is empty"
        elif "\0" in cell:
            yield column, "holds a sign that is no text (NUL); type it again"
        elif len(cell) > LONGEST_CELL:
            yield column, f"is longer than {LONGEST_CELL} characters"
        elif allowed and cell not in allowed and not _is_added(column, cell):
            yield column, f"is {cell!r}; known are {', '.join(allowed)}"


def _is_added(column: str, cell: str) -> bool:
    return cell.startswith(EXTENSION) and column not in CLOSED


def _twice(name: str, rows: Sequence[Row]) -> list[Fault]:
    column = binding()["tables"][name]["header"][0]
    seen: dict[str, int] = {}
    faults = []
    for row in rows:
        said = row.cells[column]
        if said and said in seen:
            faults.append(Fault(name, row.line, column, f"is that of line {seen[said]} again"))
        seen.setdefault(said, row.line)
    return faults


def _dangling(tables: Tables, known: Mapping[str, frozenset[str]]) -> list[Fault]:
    """Cells that name a row which is nowhere; a table not given counts for its known rows."""
    faults = []
    for name, column, target in REFERENCES:
        if tables.way(target) != ABSENT and target not in tables.rows:
            continue  # it is no table: said already
        there = {row.id for row in tables.of(target)}
        if tables.way(target) != BULK:
            there |= known.get(target, frozenset())
            if not there and tables.way(target) == ABSENT and target not in known:
                continue
        for row in tables.of(name):
            named = [one.strip() for one in row.cells[column].split(",") if one.strip()]
            if lost := [one for one in named if one not in there and not row.gone]:
                faults.append(Fault(name, row.line, column, f"{lost[0]} stands in no {target}"))
    return faults


def in_order(faults: Sequence[Fault]) -> list[Fault]:
    """Faults by file and line."""
    return sorted(faults, key=lambda one: (one.file, one.line))
