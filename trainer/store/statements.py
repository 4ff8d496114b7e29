"""What statements share on SQLite and PostgreSQL."""

from typing import Any

from sqlalchemy import Row
from sqlalchemy.dialects import postgresql, sqlite

from trainer.store.base import Base
from trainer.store.unit import Unit

Found = Row[*tuple[Any, ...]]
"""A row of some columns."""


def inserting(unit: Unit, table: type[Base]) -> Any:
    """An insert statement that knows `on_conflict_…` for the database at hand."""
    name = unit.session.get_bind().dialect.name
    return (postgresql if name == "postgresql" else sqlite).insert(table)
