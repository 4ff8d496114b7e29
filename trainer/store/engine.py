"""SQLite or PostgreSQL from one URL.

SQLite: write-ahead log with synchronous FULL (a power cut then loses no acknowledged answer),
writers begin IMMEDIATE (one that reads first would fail with 'database is locked' at once).
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event

from trainer.store.unit import Unit, Viewer

WRITES = "writes"
PRAGMAS = (
    "journal_mode=WAL",
    "synchronous=FULL",
    "foreign_keys=ON",
    "busy_timeout=10000",
    "secure_delete=ON",  # what was erased is overwritten, not only left unread
)


def open_engine(url: str) -> Engine:
    """An engine; nothing is connected yet."""
    plain = url.replace("postgresql://", "postgresql+psycopg://", 1)
    # The connection used last is used next: its page cache is warm.
    engine = create_engine(plain, pool_pre_ping=not plain.startswith("sqlite"), pool_use_lifo=True)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _settle)
        event.listen(engine, "begin", _begin)
    return engine


def writer(engine: Engine) -> Engine:
    """The same engine for units that write."""
    return engine.execution_options(**{WRITES: True})


def _settle(connection: Any, _record: Any) -> None:
    connection.isolation_level = None
    for pragma in PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def is_sqlite(engine: Engine) -> bool:
    """Whether the database is one file that takes one writer at a time."""
    return engine.dialect.name == "sqlite"


@contextmanager
def reading(engine: Engine, viewer: Viewer) -> Iterator[Unit]:
    """A unit that only reads: whatever it held is let go."""
    with engine.connect() as connection:
        unit = Unit(connection, viewer)
        try:
            yield unit
        finally:
            unit.close()


def snapshots(engine: Engine) -> Engine:
    """The same engine for units that see one moment throughout, as SQLite's readers always do."""
    if is_sqlite(engine):
        return engine
    return engine.execution_options(isolation_level="REPEATABLE READ")


@contextmanager
def writing(engine: Engine, viewer: Viewer) -> Iterator[Unit]:
    """A unit that commits at its end, and rolls back if anything raises."""
    with engine.begin() as connection:
        unit = Unit(connection, viewer)
        try:
            yield unit
            unit.flush()
        finally:
            unit.close()
