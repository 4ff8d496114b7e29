"""Units of work: everything in one happens, or none of it."""

import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, nullcontext
from pathlib import Path

from trainer.store.engine import is_sqlite, open_engine, reading, snapshots, writer, writing
from trainer.store.migrations.upgrade import downgrade, upgrade
from trainer.store.unit import NOBODY, Unit, Viewer
from trainer.use_cases.seal_log import LogSeal

__all__ = ["NOBODY", "Unit", "Viewer", "Work"]


class Work:
    """Opens units on one database.

    On SQLite one writer at a time holds a lock of this process: its own waiting is unfair and
    sleeps long. With the instance folder given, the log's signed head is kept there around every
    commit that appended to the log.
    """

    def __init__(self, url: str, instance: Path | None = None) -> None:
        self._engine = open_engine(url)
        self._writer = writer(self._engine)
        self._alone = threading.Lock() if is_sqlite(self._engine) else nullcontext()
        self.seal = LogSeal(instance) if instance else None

    @contextmanager
    def reading(self, viewer: Viewer = NOBODY) -> Iterator[Unit]:
        """A unit that only reads."""
        with reading(self._engine, viewer) as unit:
            yield unit

    @contextmanager
    def snapshot(self) -> Iterator[Unit]:
        """A unit that reads everything as of the moment of its first look."""
        with reading(snapshots(self._engine), NOBODY) as unit:
            yield unit

    @contextmanager
    def writing(self, viewer: Viewer = NOBODY) -> Iterator[Unit]:
        """A unit that commits at its end, and rolls back if anything raises."""
        with self._alone, ExitStack() as held:
            announced = None
            with writing(self._writer, viewer) as unit:
                yield unit
                unit.flush()
                if self.seal and unit.log_began is not None:
                    held.enter_context(self.seal.alone())
                    announced = self.seal.announced(unit)
            if self.seal and announced:
                self.seal.settled(announced)

    def prepare(self, version: str = "head") -> None:
        """Bring the tables up to date, or up to a version."""
        upgrade(self._engine, version)

    def clear(self) -> None:
        """Take all tables away: they can be prepared anew, to any version."""
        downgrade(self._engine, "base")

    def close(self) -> None:
        """Let go of every connection."""
        self._engine.dispose()
