"""Bookings from a table (CSV): columns found by their headings; others are not read."""

import csv
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from io import StringIO
from operator import itemgetter
from typing import NamedTuple
from zoneinfo import ZoneInfo

from trainer.core.bookings.booking import (
    LONGEST_STAFF,
    LONGEST_TITLE,
    Booking,
    Diary,
    Week,
    reach,
    without_end,
)
from trainer.core.exchange.written_times import (
    NUMBERS,
    UnreadCell,
    read_day,
    read_length,
    read_time,
)
from trainer.core.problems import InputProblem

WHERE = "table"
MOST_ROWS = 20_000
MOST_TOLD = 10  # rows of which something cannot be read, told one by one
LONGEST_NIGHT = timedelta(hours=8)
"""So long a booking may last that ends after midnight (common practice, no source): what would be
longer is rather a wrong end, such as 1:00 for one in the afternoon."""
MOST_ABOVE = 10  # rows in which the headings are looked for: reports begin with a title
CALLED = {
    "date": "date day startdate bookingdate appointmentdate",
    "start": "start starttime time from begins startsat bookingtime appointmenttime startdatetime "
    "datetime dateandtime",
    "end": "end endtime until to finish finishtime ends endsat enddatetime",
    "minutes": "minutes duration length durationminutes durationmin durationmins mins min",
    "title": "service services servicename treatment treatments treatmentname title subject "
    "booking appointment",
    "staff": "staff stylist staffmember staffname stylistname teammember with who employee "
    "employeename",
    "status": "status state",
}
HEADINGS = {name: tuple(calls.split()) for name, calls in CALLED.items()}
"""What a column is for, and what it may be called (case, spaces and marks do not count)."""
HOURS = ("date", "start", "end", "minutes")
"""The first of them."""
WORK_ALONE = HEADINGS["title"][:6]
NEEDED = {
    "start": "when each booking starts (Start, or Date and Time)",
    "title": "what is done (Service, Treatment or Title)",
}
DELIMITERS = ",;\t"
MONTHS = 12
DAY = timedelta(days=1)
CANCELLED = ("cancel", "no show", "noshow", "declined", "deleted")
WORKBOOK = b"PK\x03\x04"


class _Cells(NamedTuple):
    """One row's cells by what they are for, as they stand; '' where there is none."""

    date: str
    start: str
    end: str
    minutes: str
    title: str
    staff: str
    status: str


@dataclass
class _Shape:
    """How the cells of one table read: which number is the month, and hours read already."""

    month_first: bool
    zone: ZoneInfo | None
    known: dict[tuple[str, ...], tuple[datetime, datetime]] = field(default_factory=dict)

    def hours(self, row: _Cells) -> tuple[datetime, datetime]:
        """When a row's booking starts and ends; an end before the start is a wrong one.

        Raises UnreadCell.
        """
        said = row[: len(HOURS)]
        if said not in self.known:  # people share their hours
            self.known[said] = _span(self, *(one.strip() for one in said))
        return self.known[said]


class _Tidy(dict[str, str]):
    """A cell -> its text with single blanks, of some length at most; most come many times."""

    def __init__(self, longest: int) -> None:
        super().__init__()
        self._longest = longest

    def __missing__(self, cell: str) -> str:
        self[cell] = found = " ".join(cell.split())[: self._longest]
        return found


def read_table(content: bytes, week: Week, zone: str = "", month_first: bool = False) -> Diary:
    """Read the bookings of one week.

    Parameters
    ----------
    content : CSV with a heading row, separated by comma, semicolon or tab.
    week : Which week.
    zone : The salon's time zone (IANA name), for times that carry one of their own; '' for UTC.
    month_first : How 4/5/2026 reads where no other date of the table tells.

    Returns
    -------
    Its bookings by start. Rows that cannot be read are named in the notes, and left out; rows that
    end before they start are named, and taken without an end.

    Raises
    ------
    InputProblem : If a needed column is missing, or no row can be read.
    """
    rows = _from_heading(_rows(content))
    columns = _columns(rows[0][1])
    cells = _picked(rows[1:], columns)
    first = dict.fromkeys(one.date if "date" in columns else one.start for _, one in cells)
    shape = _Shape(_month_first(first, month_first), ZoneInfo(zone) if zone else None)
    inside, starts, unread, backwards, unsaid = [], [], [], [], 0
    titles, staff = _Tidy(LONGEST_TITLE), _Tidy(LONGEST_STAFF)
    begins, ends = week.start, week.end
    for number, row in cells:
        if row.status and row.status.strip().casefold().startswith(CANCELLED):
            continue
        try:
            start, end = shape.hours(row)
        except UnreadCell as problem:
            unread.append(f"Row {number}: {problem}")
            continue
        starts.append(start)
        if begins <= start < ends:
            if end < start:
                backwards.append(f"Row {number}: it ends before it starts")
                end = start
            inside.append(Booking(start, end, titles[row.title], staff[row.staff]))
            unsaid += start == end
    if unread and not starts:
        raise InputProblem(unread[0], WHERE, "Mend the column and give the table again.")
    bare = _plain(rows[0][1][columns["title"]]) in WORK_ALONE
    notes = (
        *_told(unread, "The row was left out", "cannot be read"),
        *_told(backwards, "Its end was not read", "end before they start"),
        *without_end(unsaid),
    )
    return Diary(sorted(inside), notes, reach(starts), bare)


def _told(rows: Sequence[str], done: str, all_: str) -> list[str]:
    told = [f"{one}. {done}." for one in rows[:MOST_TOLD]]
    more = len(rows) - MOST_TOLD
    return [*told, f"{more} more rows {all_}."] if more > 0 else told


def _from_heading(rows: list[tuple[int, list[str]]]) -> list[tuple[int, list[str]]]:
    """The rows from the first on that names all that is needed; all where none does."""
    for place, (_, row) in enumerate(rows[:MOST_ABOVE]):
        if NEEDED.keys() <= _found(row).keys():
            return rows[place:]
    return rows


def _rows(content: bytes) -> list[tuple[int, list[str]]]:
    """Rows that hold anything, with their numbers as a spreadsheet shows them."""
    text = _text(content)
    heads = text.lstrip("\r\n").splitlines()[:MOST_ABOVE]
    delimiter = max(DELIMITERS, key=lambda one: max((head.count(one) for head in heads), default=0))
    try:
        read = csv.reader(StringIO(text, newline=""), delimiter=delimiter, strict=True)
        rows = [(place, row) for place, row in enumerate(read, 1) if any(row)]
    except csv.Error:
        remedy = "Save it again as CSV from your spreadsheet."
        raise InputProblem("This table cannot be read", WHERE, remedy) from None
    if not rows[1:]:
        raise InputProblem("The table has no rows", WHERE, "Give it with its heading row.")
    if len(rows) > MOST_ROWS:
        raise InputProblem(f"More than {MOST_ROWS:,} rows", WHERE, "Give one week alone.")
    return rows


def _text(content: bytes) -> str:
    if content.startswith(WORKBOOK):
        remedy = "Open it in your spreadsheet, and save it as CSV."
        raise InputProblem("This is a workbook, not a table in a file", WHERE, remedy)
    kinds = ("utf-16",) if content[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252")
    for kind in kinds:
        try:
            return content.decode(kind)
        except UnicodeDecodeError:
            continue
    raise InputProblem("This is not text", WHERE, "Save it again as CSV, in UTF-8.")


def _columns(heads: Sequence[str]) -> Mapping[str, int]:
    found = _found(heads)
    missing = [words for name, words in NEEDED.items() if name not in found]
    if missing:
        said = f"No column says {' and none says '.join(missing)}"
        listed = ", ".join(head.strip()[:30] for head in heads if head.strip())
        raise InputProblem(said, WHERE, f"Name it in the first row, which holds: {listed[:200]}.")
    return found


def _found(heads: Sequence[str]) -> dict[str, int]:
    """What a column is for -> its place, of those that are named."""
    plain = [_plain(head) for head in heads]
    told = (
        (name, next((one for one in calls if one in plain), None))
        for name, calls in HEADINGS.items()
    )
    return {name: plain.index(call) for name, call in told if call is not None}


def _plain(head: str) -> str:
    return re.sub(r"[\W_]", "", head.casefold())


def _month_first(cells: Iterable[str], usual: bool) -> bool:
    """Which of two numbers is the month, from a date where only one of them can be."""
    for cell in cells:
        found = NUMBERS.search(cell)
        if found:
            one, two = int(found[1]), int(found[2])
            if (one > MONTHS) != (two > MONTHS):
                return two > MONTHS
    return usual


def _picked(
    rows: Sequence[tuple[int, list[str]]], columns: Mapping[str, int]
) -> list[tuple[int, _Cells]]:
    blank = [""] * (max(columns.values()) + 1)  # so that short rows end in empty cells
    pick = itemgetter(*(columns.get(name, -1) for name in HEADINGS))
    return [(number, _Cells._make(pick(row + blank))) for number, row in rows]


def _span(shape: _Shape, on: str, said: str, end: str, minutes: str) -> tuple[datetime, datetime]:
    if on:
        start = datetime.combine(read_day(on, shape.month_first), read_time(said))
    else:
        start = _moment(said, shape)
    return start, _end(shape, start, end, minutes)


def _end(shape: _Shape, start: datetime, said: str, minutes: str) -> datetime:
    """When a booking ends; its start where that is not said, or cannot be read."""
    if not said:
        return start + read_length(minutes)
    try:
        if len(said) > len("00:00:00 a.m."):
            return _moment(said, shape)
        end = datetime.combine(start.date(), read_time(said))
    except UnreadCell:
        return start
    after_midnight = end + DAY
    return after_midnight if end < start >= after_midnight - LONGEST_NIGHT else end


def _moment(said: str, shape: _Shape) -> datetime:
    try:
        found = datetime.fromisoformat(said)
    except ValueError:
        day, _, at = said.rpartition(" ")
        if re.fullmatch(r"[ap]\.?m\.?", at, re.IGNORECASE):
            day, _, before = day.rpartition(" ")
            at = f"{before} {at}"
        return datetime.combine(read_day(day.rstrip(" ,"), shape.month_first), read_time(at))
    if found.tzinfo is None:
        return found
    return found.astimezone(shape.zone or ZoneInfo("UTC")).replace(tzinfo=None)
