"""Cells of a CSV file (RFC 4180), harmless to whoever opens it in a spreadsheet.

A spreadsheet takes a cell for a formula when it begins with = + - @ or, once it has put those
aside, with a tab or a carriage return (OWASP, "CSV Injection"). A name or a note that somebody
typed could then fetch an address or start a program on the reader's machine. Such a cell gets an
apostrophe in front, which spreadsheets read as 'this is text'; a number stays a number.
"""

import csv
import io
from collections.abc import Iterable, Sequence

FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What begins a formula; the full-width signs as well, which some spreadsheets read alike."""
APOSTROPHE = "'"
LOOKED_THROUGH = " \N{NO-BREAK SPACE}" + APOSTROPHE
Cell = str | int | float | None


def harmless(cell: Cell) -> Cell:
    """Make one cell safe to open in a spreadsheet.

    Parameters
    ----------
    cell : Text, a number, or None for an empty cell.

    Returns
    -------
    Text that would be read as a formula with an apostrophe before it (blanks and apostrophes before
    the sign are looked through); all else as given.
    """
    if not isinstance(cell, str):
        return cell
    return APOSTROPHE + cell if cell.lstrip(LOOKED_THROUGH).startswith(FORMULA) else cell


def plain(cell: str) -> str:
    """Take back what `harmless` put in front, so that a file of ours read again says the same.

    Parameters
    ----------
    cell : As it stands in a file.

    Returns
    -------
    The cell without our apostrophe; one that belongs to the text ('tis) stays.
    """
    inner = cell.removeprefix(APOSTROPHE)
    return inner if inner != cell and harmless(inner) == cell else cell


def csv_text(heading: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Write a whole table.

    Parameters
    ----------
    heading : Names of the columns, our own words.
    rows : Each with as many cells as the heading; texts are made harmless here.

    Returns
    -------
    The file's text: fields by comma, lines ended by CR LF, quotes where RFC 4180 asks for them.

    Raises
    ------
    ValueError : If a row has more or fewer cells than the heading.
    """
    written = io.StringIO(newline="")
    writer = csv.writer(written)
    writer.writerow(heading)
    for row in rows:
        if len(row) != len(heading):
            raise ValueError(f"{len(row)=} cells under {len(heading)=} names")
        writer.writerow([harmless(cell) for cell in row])
    return written.getvalue()


def for_spreadsheets(text: str) -> bytes:
    """Write a table down so that a spreadsheet opens it with every letter right.

    Parameters
    ----------
    text : As `csv_text` gives it.

    Returns
    -------
    UTF-8 with its mark in front: without it a spreadsheet may take an older coding, and accents
    become other signs.
    """
    return text.encode("utf-8-sig")
