"""Every row of every table, out and in: a copy that any database here can take.

Tables are read as they stand in the database, not as this version declares them, so a copy made
before an upgrade goes into tables of its own version, which are then brought up to date.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, datetime
from itertools import islice
from typing import Any

from sqlalchemy import (
    JSON,
    Connection,
    Date,
    DateTime,
    MetaData,
    Select,
    String,
    Table,
    column,
    func,
    insert,
    select,
    table,
)

from trainer.store.unit import Unit

VERSION_TABLE = "alembic_version"
VERSION: Select[str] = select(column("version_num", String)).select_from(table(VERSION_TABLE))
AT_ONCE = 500
FROM_TEXT: Mapping[type, Callable[[str], Any]] = {
    DateTime: datetime.fromisoformat,
    Date: date.fromisoformat,
}


def version(unit: Unit) -> str:
    """The version of the tables."""
    return unit.connection.execute(VERSION).scalar_one()


def tables(unit: Unit) -> Mapping[str, Table]:
    """Every table by name; one that others lean on comes before them."""
    found = MetaData()
    found.reflect(unit.connection)
    kept = [one for one in found.sorted_tables if one.name != VERSION_TABLE]
    for one in kept:
        _tell_nothing_from_null(one)
    return {one.name: one for one in kept}


def rows(unit: Unit, whole: Table) -> Iterator[dict[str, Any]]:
    """Every row of a table in the order of its key, as JSON can hold it."""
    chosen = select(whole).order_by(*whole.primary_key.columns)
    found = unit.connection.execute(chosen, execution_options={"yield_per": AT_ONCE})
    for row in found.mappings():
        yield {name: _plain(value) for name, value in row.items()}


def put(unit: Unit, into: Table, given: Iterable[Mapping[str, Any]]) -> int:
    """Put rows into a table; gives back how many. Raises KeyError for a column it lacks."""
    read = {one.name: _reader(one.type) for one in into.columns}
    rest, count = iter(given), 0
    while some := [_read(row, read) for row in islice(rest, AT_ONCE)]:
        unit.connection.execute(insert(into), some)
        count += len(some)
    _count_on(unit.connection, into)
    return count


def is_empty(unit: Unit) -> bool:
    """Whether no table holds a row."""
    return all(
        unit.connection.execute(select(one).limit(1)).first() is None
        for one in tables(unit).values()
    )


def _tell_nothing_from_null(whole: Table) -> None:
    """A column that may be empty holds no JSON null: nothing goes back in as nothing."""
    for one in whole.columns:
        if isinstance(one.type, JSON):
            one.type = JSON(none_as_null=bool(one.nullable))


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value


def _reader(kind: Any) -> Callable[[Any], Any]:
    for known, read in FROM_TEXT.items():
        if isinstance(kind, known):
            return read
    return lambda value: value


def _read(row: Mapping[str, Any], read: Mapping[str, Callable[[Any], Any]]) -> dict[str, Any]:
    return {name: None if value is None else read[name](value) for name, value in row.items()}


def _count_on(connection: Connection, into: Table) -> None:
    """PostgreSQL goes on counting after the highest number that was put in."""
    if connection.dialect.name != "postgresql":
        return
    for key in into.primary_key.columns:
        counter = connection.scalar(select(func.pg_get_serial_sequence(into.name, key.name)))
        highest = connection.scalar(select(func.max(key)))
        if counter and highest is not None:
            connection.execute(select(func.setval(counter, highest)))
