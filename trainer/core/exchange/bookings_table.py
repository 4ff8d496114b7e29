"""Bookings from a table (CSV): columns found by their headings; others are not read."""

import csv
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import lru_cache
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
)
from trainer.core.problems import InputProblem

WHERE = "table"
MOST_ROWS = 20_000
MOST_TOLD = 10  # rows that cannot be read, told one by one
HEADINGS: Mapping[str, tuple[str, ...]] = {
    "date": ("date", "day", "startdate", "bookingdate", "appointmentdate"),
    "start": ("start", "starttime", "time", "from", "begins", "startsat", "bookingtime"),
    "end": ("end", "endtime", "until", "to", "finish", "ends", "endsat"),
    "minutes": ("minutes", "duration", "length", "durationminutes", "mins"),
    "title": ("service", "services", "treatment", "title", "subject", "booking", "appointment"),
    "staff": ("staff", "stylist", "staffmember", "teammember", "with", "who", "employee"),
    "status": ("status", "state"),
}
"""What a column is for, and what it may be called (case, spaces and marks do not count)."""
HOURS = ("date", "start", "end", "minutes")
"""The first of them."""
WORK_ALONE = ("service", "services", "treatment")
NEEDED = {
    "start": "when each booking starts (Start, or Date and Time)",
    "title": "what is done (Service, Treatment or Title)",
}
DELIMITERS = ",;\t"
NUMBERS = re.compile(r"(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})")
WORDED = ("%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y")
TIMES = ("%H:%M", "%H:%M:%S", "%H.%M", "%I:%M %p", "%I:%M%p", "%I %p", "%I%p")
MONTHS = 12
CANCELLED = ("cancel", "no show", "noshow", "declined", "deleted")
BEGINNINGS = re.compile(r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.IGNORECASE)


class _Unread(ValueError):
    """One cell that cannot be read, said in words."""


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
        """When a row's booking starts and ends. Raises _Unread."""
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
    Its bookings by start. Rows that cannot be read are named in the notes, and left out.

    Raises
    ------
    InputProblem : If a needed column is missing, or no row can be read.
    """
    rows = _rows(content)
    columns = _columns(rows[0][1])
    cells = _picked(rows[1:], columns)
    first = dict.fromkeys(one.date if "date" in columns else one.start for _, one in cells)
    shape = _Shape(_month_first(first, month_first), ZoneInfo(zone) if zone else None)
    inside, starts, unread = [], [], []
    titles, staff = _Tidy(LONGEST_TITLE), _Tidy(LONGEST_STAFF)
    begins, ends = week.start, week.end
    for number, row in cells:
        if row.status and row.status.strip().casefold().startswith(CANCELLED):
            continue
        try:
            start, end = shape.hours(row)
        except _Unread as problem:
            unread.append(f"Row {number}: {problem}. The row was left out.")
            continue
        starts.append(start)
        if begins <= start < ends:
            inside.append(Booking(start, end, titles[row.title], staff[row.staff]))
    if unread and not starts:
        raise InputProblem(unread[0], WHERE, "Mend the column and give the table again.")
    bare = _plain(rows[0][1][columns["title"]]) in WORK_ALONE
    return Diary(sorted(inside), _told(unread), reach(starts), bare)


def _told(unread: Sequence[str]) -> tuple[str, ...]:
    more = len(unread) - MOST_TOLD
    return (*unread[:MOST_TOLD], *([f"{more} more rows cannot be read."] if more > 0 else []))


def _rows(content: bytes) -> list[tuple[int, list[str]]]:
    """Rows that hold anything, with their numbers as a spreadsheet shows them."""
    text = _text(content)
    head = text.lstrip("\r\n").partition("\n")[0]
    delimiter = max(DELIMITERS, key=head.count)
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
    kinds = ("utf-16",) if content[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252")
    for kind in kinds:
        try:
            return content.decode(kind)
        except UnicodeDecodeError:
            continue
    raise InputProblem("This is not text", WHERE, "Save it again as CSV, in UTF-8.")


def _columns(heads: Sequence[str]) -> Mapping[str, int]:
    plain = [_plain(head) for head in heads]
    found = {}
    for name, calls in HEADINGS.items():
        place = next((plain.index(call) for call in calls if call in plain), None)
        if place is not None:
            found[name] = place
    missing = [words for name, words in NEEDED.items() if name not in found]
    if missing:
        said = f"No column says {' and none says '.join(missing)}"
        listed = ", ".join(head.strip()[:30] for head in heads if head.strip())
        raise InputProblem(said, WHERE, f"Name it in the first row, which holds: {listed[:200]}.")
    return found


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
    start = datetime.combine(_day(on, shape), _time(said)) if on else _moment(said, shape)
    return start, max(start, _end(shape, start, end, minutes))


def _end(shape: _Shape, start: datetime, said: str, minutes: str) -> datetime:
    if said:
        whole = len(said) > len("00:00:00 am")
        return _moment(said, shape) if whole else datetime.combine(start.date(), _time(said))
    if not minutes:
        return start
    if not re.fullmatch(r"\d{1,4}", minutes):
        raise _Unread(f"'{minutes[:20]}' is no number of minutes")
    return start + timedelta(minutes=int(minutes))


def _moment(said: str, shape: _Shape) -> datetime:
    try:
        found = datetime.fromisoformat(said)
    except ValueError:
        day, _, at = said.rpartition(" ")
        if re.fullmatch(r"[ap]m", at, re.IGNORECASE):
            day, _, before = day.rpartition(" ")
            at = f"{before} {at}"
        return datetime.combine(_day(day.rstrip(" ,"), shape), _time(at))
    if found.tzinfo is None:
        return found
    return found.astimezone(shape.zone or ZoneInfo("UTC")).replace(tzinfo=None)


def _day(said: str, shape: _Shape) -> date:
    plain = BEGINNINGS.sub("", said)
    numbers = NUMBERS.fullmatch(plain)
    try:
        if numbers:
            one, two, year = (int(part) for part in numbers.groups())
            return date(year, one, two) if shape.month_first else date(year, two, one)
        return _written_day(plain)
    except ValueError:
        raise _Unread(f"'{said[:20]}' is no date") from None


@lru_cache(maxsize=2048)  # days alone: what is none is not remembered
def _written_day(plain: str) -> date:
    if plain[:4].isdigit():
        return date.fromisoformat(plain)
    for form in WORDED:
        try:
            return datetime.strptime(plain.replace(",", ""), form).date()  # noqa: DTZ007  a day
        except ValueError:
            continue
    raise ValueError


@lru_cache(maxsize=2048)  # times of day alone: what is none is not remembered
def _time(said: str) -> time:
    plain = said.strip().upper()
    for form in TIMES:
        try:
            return datetime.strptime(plain, form).time()  # noqa: DTZ007  a time of day, no moment
        except ValueError:
            continue
    raise _Unread(f"'{said[:20]}' is no time of day")
