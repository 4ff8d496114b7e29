"""What statements share on SQLite and PostgreSQL."""

from collections.abc import Callable
from functools import lru_cache
from typing import Any

from sqlalchemy import Connection, Row
from sqlalchemy.dialects import postgresql, sqlite

from trainer.store.base import Base
from trainer.store.unit import Unit

Found = Row[*tuple[Any, ...]]
"""A row of some columns."""


def inserting(unit: Unit, table: type[Base]) -> Any:
    """An insert statement that knows `on_conflict_…` for the database at hand."""
    name = unit.connection.dialect.name
    return (postgresql if name == "postgresql" else sqlite).insert(table)


def connection(unit: Unit) -> Connection:
    """The unit's connection: for statements built once, where each millisecond counts.

    It sees what the session has flushed, not what it still holds.
    """
    return unit.connection


def built_once(build: Callable[[Any], Any]) -> Callable[[Unit], Any]:
    """A statement built once for each database from its `insert` function."""
    kept = lru_cache(maxsize=None)(lambda name: build(DIALECTS[name].insert))

    def statement(unit: Unit) -> Any:
        return kept(unit.connection.dialect.name)

    return statement


DIALECTS = {"postgresql": postgresql, "sqlite": sqlite}
