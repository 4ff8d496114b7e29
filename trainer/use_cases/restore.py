"""Bring a backup back into an empty instance: all of it, or none of it."""

from collections.abc import Collection, Mapping
from contextlib import ExitStack, closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from trainer.core.problems import InputProblem
from trainer.core.records.log_head import read_seal
from trainer.store import whole
from trainer.store.migrations.upgrade import knows
from trainer.use_cases import private_file
from trainer.use_cases.back_up import DATA, EVIDENCE, HOLDS, KEYS, SECRETS, SETTINGS
from trainer.use_cases.backup_file import DAMAGED, Reader
from trainer.use_cases.issuer_keys import signer_of
from trainer.use_cases.keep_log import Checked, check_sealed, log
from trainer.use_cases.seal_log import FILE as LOG_HEAD
from trainer.use_cases.seal_log import SITE_KEY, LogSeal
from trainer.use_cases.work import Work

ELSEWHERE = "Name an empty folder (TRAINER_INSTANCE) and an empty database, or move this aside."


@dataclass(frozen=True, slots=True)
class Restored:
    """What came back, of which moment, and whether the log holds."""

    made_at: str
    tables: Mapping[str, int]
    files: int
    log: Checked


def restore(
    work: Work, instance: Path, path: Path, secrets: Path | None, keys_lost: bool, now: datetime
) -> Restored:
    """Put tables, photos and the log's signed head back; with `secrets`, keys and settings too.

    `keys_lost`: go on without the key that signed the log's head; sealing then begins anew.
    Raises InputProblem before anything is written if the instance is not empty, a file is damaged
    or of a newer version, or the key is not there.
    """
    with ExitStack() as stack:
        data = stack.enter_context(closing(Reader(path, DATA)))
        apart = stack.enter_context(closing(Reader(secrets, SECRETS))) if secrets else None
        _must_fit(work, instance, data, apart)
        put = Files(instance)
        try:
            if apart:
                put.all_of(apart)
            _must_be_ours(instance, data, keys_lost)
            put.all_of(data, leave_out=[LOG_HEAD] if keys_lost else [])
            tables = _put_tables(work, data)
        except BaseException:
            put.take_back()
            raise
    with work.writing() as unit:
        log(unit, "site.restored", {"made_at": data.contents.made_at}, now)
    with work.snapshot() as unit:
        checked = check_sealed(unit, LogSeal(instance))
    return Restored(data.contents.made_at, tables, len(put.written), checked)


class Files:
    """Files put into the instance folder, readable by their owner alone."""

    def __init__(self, instance: Path) -> None:
        self._instance = instance
        self._before: dict[Path, bytes] = {}
        self.written: list[Path] = []

    def all_of(self, backup: Reader, leave_out: Collection[str] = ()) -> None:
        """Put every file of a backup in its place.

        Settings that are there already stay; the secret key of an instance that was empty until
        now is worth nothing, and the one that comes back still opens what letters hold.
        """
        for name in backup.files():
            path = self._instance / name
            if name in leave_out or (name == SETTINGS and path.exists()):
                continue
            if path.exists():
                self._before[path] = path.read_bytes()
            self.written.append(path)
            private_file.put(path, backup.file(name))

    def take_back(self) -> None:
        """Make everything as it was before."""
        for path in self.written:
            path.unlink(missing_ok=True)
        for path, content in self._before.items():
            private_file.put(path, content)


def _must_fit(work: Work, instance: Path, data: Reader, apart: Reader | None) -> None:
    with work.reading() as unit:
        if not whole.is_empty(unit):
            raise InputProblem("It holds data already", "the database", ELSEWHERE)
    for backup in filter(None, (data, apart)):
        for name in backup.files():
            if not name.startswith(HOLDS[backup.contents.kind]):
                raise InputProblem(f"{name} does not belong in it", "the backup", DAMAGED)
    for name in (LOG_HEAD, EVIDENCE, *([KEYS] if apart else [])):
        place = instance / name
        if place.is_file() or (place.is_dir() and any(place.iterdir())):
            raise InputProblem(f"{name} is there already", "the instance folder", ELSEWHERE)
    if not knows(data.contents.version):
        what = f"It was made by a newer version (tables {data.contents.version!r})"
        raise InputProblem(what, "the backup", "Install that version, then restore.")


def _must_be_ours(instance: Path, data: Reader, keys_lost: bool) -> None:
    """The head in the backup was signed by the key that stands in the instance."""
    if LOG_HEAD not in data.files() or keys_lost:
        return
    if not (instance / KEYS / f"{SITE_KEY}.pem").is_file():
        raise InputProblem(
            "The signing keys are missing",
            "the instance folder",
            "Give the file of secrets with --secrets, or put the folder 'keys' in place. If they "
            "are lost for good, say --keys-lost: records that name such a key as their issuer can "
            "then no longer be withdrawn by their list.",
        )
    read_seal(data.file(LOG_HEAD), signer_of(instance / KEYS, SITE_KEY).public)


def _put_tables(work: Work, data: Reader) -> Mapping[str, int]:
    """Tables of the backup's own version take its rows; then they are brought up to date."""
    work.clear()
    try:
        work.prepare(data.contents.version)
        counts = _put_rows(work, data)
        work.prepare()
    except BaseException:
        work.clear()
        work.prepare()
        raise
    return counts


def _put_rows(work: Work, data: Reader) -> Mapping[str, int]:
    with work.writing() as unit:
        found = whole.tables(unit)
        held = set(data.tables())
        for name in sorted(held ^ set(found)):
            raise InputProblem(
                f"The table {name} is missing or too much", "the backup", "Use another copy."
            )
        return {name: whole.put(unit, table, data.rows(name)) for name, table in found.items()}
