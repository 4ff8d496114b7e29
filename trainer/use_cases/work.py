"""Units of work: everything in one happens, or none of it."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext

from trainer.store.engine import is_sqlite, open_engine, reading, writer, writing
from trainer.store.migrations.upgrade import upgrade
from trainer.store.unit import NOBODY, Unit, Viewer

__all__ = ["NOBODY", "Unit", "Viewer", "Work"]


class Work:
    """Opens units on one database.

    On SQLite one writer at a time holds a lock of this process: its own waiting is unfair and
    sleeps long.
    """

    def __init__(self, url: str) -> None:
        self._engine = open_engine(url)
        self._writer = writer(self._engine)
        self._alone = threading.Lock() if is_sqlite(self._engine) else nullcontext()

    @contextmanager
    def reading(self, viewer: Viewer = NOBODY) -> Iterator[Unit]:
        """A unit that only reads."""
        with reading(self._engine, viewer) as unit:
            yield unit

    @contextmanager
    def writing(self, viewer: Viewer = NOBODY) -> Iterator[Unit]:
        """A unit that commits at its end, and rolls back if anything raises."""
        with self._alone, writing(self._writer, viewer) as unit:
            yield unit

    def prepare(self) -> None:
        """Bring the tables up to date."""
        upgrade(self._engine)

    def close(self) -> None:
        """Let go of every connection."""
        self._engine.dispose()
