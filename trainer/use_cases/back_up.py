"""Write a backup: all tables as of one moment, the log's signed head and photos of work.

Signing keys are secrets and stand apart: they go into a file of their own, if one is named.
"""

from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from trainer.core.problems import InputProblem
from trainer.store import whole
from trainer.use_cases.backup_file import Writer
from trainer.use_cases.seal_log import FILE as LOG_HEAD
from trainer.use_cases.seal_log import LogSeal
from trainer.use_cases.work import Work

DATA, SECRETS = "data", "secrets"
EVIDENCE, KEYS = "evidence", "keys"
SECRET_KEY, SETTINGS = "secret_key", "settings.toml"
HOLDS = {DATA: (LOG_HEAD, f"{EVIDENCE}/"), SECRETS: (SECRET_KEY, SETTINGS, f"{KEYS}/")}
"""Which files of the instance folder each kind of backup holds; folders end with a slash."""


@dataclass(frozen=True, slots=True)
class BackedUp:
    """What a backup holds: rows by table, photos, and files of secrets, 0 where none was asked."""

    tables: Mapping[str, int]
    photos: int
    secrets: int


def back_up(
    work: Work, instance: Path, path: Path, secrets: Path | None, now: datetime
) -> BackedUp:
    """Write the backup, and the secrets beside it. Raises InputProblem for a file that exists."""
    if secrets and secrets.resolve() == path.resolve():
        raise InputProblem(
            "It is the same file", str(secrets), "Give the secrets one of their own."
        )
    made_at = now.isoformat(timespec="seconds")
    with ExitStack() as stack:
        into = stack.enter_context(Writer(path, DATA, made_at))
        apart = stack.enter_context(Writer(secrets, SECRETS, made_at)) if secrets else None
        tables = _write_tables(work, instance, into)
        photos = _write_files(into, instance, _below(instance, EVIDENCE))
        kept = _write_files(apart, instance, _secret(instance)) if apart else 0
    return BackedUp(tables, photos, kept)


def _write_tables(work: Work, instance: Path, into: Writer) -> Mapping[str, int]:
    """The head is read while nobody may append: it and the tables are of one moment."""
    with ExitStack() as stack:
        with LogSeal(instance).alone():
            unit = stack.enter_context(work.snapshot())
            into.version = whole.version(unit)
            _write_files(into, instance, _there(instance, LOG_HEAD))
        found = whole.tables(unit)
        return {name: into.rows(name, whole.rows(unit, table)) for name, table in found.items()}


def _write_files(into: Writer, instance: Path, paths: Iterator[Path]) -> int:
    count = 0
    for path in paths:
        into.file(path.relative_to(instance).as_posix(), path.read_bytes())
        count += 1
    return count


def _below(instance: Path, folder: str) -> Iterator[Path]:
    found = sorted((instance / folder).rglob("*"))
    return (path for path in found if path.is_file())


def _secret(instance: Path) -> Iterator[Path]:
    yield from _below(instance, KEYS)
    yield from _there(instance, SECRET_KEY, SETTINGS)


def _there(instance: Path, *names: str) -> Iterator[Path]:
    return (instance / name for name in names if (instance / name).is_file())
