"""Keep the log's signed head in a file of the instance folder, around every commit."""

from functools import cached_property
from pathlib import Path

from filelock import FileLock

from trainer.core.records.keys import Signer
from trainer.core.records.log_head import Head, Seal, announce, read_seal, settle, write_seal
from trainer.store import events
from trainer.store.unit import Unit
from trainer.use_cases import private_file
from trainer.use_cases.issuer_keys import signer_of

FILE, LOCK = "log_head.json", "log_head.lock"
SITE_KEY = "site-log"  # no organisation's id has a hyphen
WAIT = 10  # seconds; the lock is held for milliseconds


class LogSeal:
    """The signed head of one instance. `announced` and `settled` stand around a commit."""

    def __init__(self, instance: Path) -> None:
        self._instance = instance
        self.path = instance / FILE

    @cached_property
    def _signer(self) -> Signer:
        return signer_of(self._instance / "keys", SITE_KEY)

    def read(self) -> Seal | None:
        """What is sealed; None while nothing is. Raises InputProblem."""
        if not self.path.exists():
            return None
        return read_seal(self.path.read_bytes(), self._signer.public)

    def alone(self) -> FileLock:
        """The right to write the head, among all threads and processes of this instance."""
        return FileLock(self._instance / LOCK, timeout=WAIT)

    def announced(self, unit: Unit) -> Seal | None:
        """Before the commit: put down where the log will end. None where nothing was appended."""
        if unit.log_began is None:
            return None
        start, last = Head(*unit.log_began), events.last(unit)
        end = Head(last.number, last.hash) if last else Head()
        seal = announce(self.read(), start, end)
        self._write(seal)
        return seal

    def settled(self, seal: Seal) -> None:
        """After the commit: what was coming stands."""
        self._write(settle(seal))

    def _write(self, seal: Seal) -> None:
        private_file.put(self.path, write_seal(seal, self._signer))
