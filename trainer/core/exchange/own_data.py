"""One person's data as a zip: one JSON file of everything, and a CSV a table.

GDPR, Article 15 (access) and 20 (a structured, commonly used, machine-readable format).
"""

import json
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from trainer.core.exchange.csv_cells import Cell, csv_text
from trainer.core.exchange.zip_files import zipped

Rows = Sequence[Mapping[str, Any]]


def compose_own_data(tables: Mapping[str, Rows], words: str) -> bytes:
    """Write the zip.

    Parameters
    ----------
    tables : Name -> rows of plain values, lists, mappings, days and moments.
    words : What it is, in plain words; becomes README.txt.

    Returns
    -------
    README.txt, everything.json, and tables/<name>.csv for each table with rows; in a CSV a list or
    mapping is its JSON, and cells are harmless to a spreadsheet.
    """
    files = {
        "README.txt": words,
        "everything.json": json.dumps(tables, ensure_ascii=False, indent=1, default=_plain),
    }
    files |= {f"tables/{name}.csv": _csv(rows) for name, rows in tables.items() if rows}
    return zipped(files)


def _csv(rows: Rows) -> str:
    heading = list(dict.fromkeys(name for row in rows for name in row))
    return csv_text(heading, [[_cell(row.get(name)) for name in heading] for row in rows])


def _cell(value: Any) -> Cell:
    if value is None or isinstance(value, str | int | float):
        return value
    if isinstance(value, date):
        return _plain(value)
    return json.dumps(value, ensure_ascii=False, default=_plain)


def _plain(value: Any) -> str:
    if isinstance(value, date | datetime):
        return value.isoformat()
    raise TypeError(f"{type(value)=} is not written")
