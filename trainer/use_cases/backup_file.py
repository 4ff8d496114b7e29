"""The file of a backup: a zip that says what it holds, each part by its hash.

`contents.json` names kind, moment, version of the tables, and every other member with its hash;
`tables/NAME.jsonl` holds a table, a row a line; `files/...` what stands beside the database.
"""

import hashlib
import json
import os
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import IO, Any

from trainer.core.exchange.zip_files import UNREADABLE
from trainer.core.problems import InputProblem
from trainer.use_cases.private_file import OWNER_ONLY

CONTENTS = "contents.json"
LARGEST_LIST = 50_000_000  # bytes of contents.json
BLOCK = 1 << 20
DAMAGED = "Use another copy: this one is damaged or was changed."


@dataclass(frozen=True, slots=True)
class Contents:
    """What a backup says of itself: `members` are names with the SHA-256 of what they hold."""

    kind: str
    made_at: str
    version: str = ""
    members: Mapping[str, str] = field(default_factory=dict)


class Writer:
    """Writes members one after the other; nothing stands at `path` before all of it does."""

    def __init__(self, path: Path, kind: str, made_at: str) -> None:
        if path.exists():
            raise InputProblem("There is a file already", str(path), "Give another name.")
        self._path, self._draft = path, path.with_name(f"{path.name}.unfinished")
        self._kind, self._made_at = kind, made_at
        self._members: dict[str, str] = {}
        self.version = ""

    def __enter__(self) -> "Writer":
        try:
            descriptor = os.open(self._draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, OWNER_ONLY)
        except OSError as problem:
            why = f"It cannot be written: {problem.strerror}"
            raise InputProblem(why, str(self._path), "Choose a folder you may write to.") from None
        self._file = os.fdopen(descriptor, "wb")
        self._zip = zipfile.ZipFile(self._file, "w", zipfile.ZIP_DEFLATED)
        return self

    def __exit__(self, kind: object, *_: object) -> None:
        if kind is None:
            self._say_what_it_holds()
        self._zip.close()
        self._file.flush()
        os.fsync(self._file.fileno())
        self._file.close()
        if kind is None:
            self._draft.replace(self._path)
        else:
            self._draft.unlink()

    def rows(self, name: str, rows: Iterable[Mapping[str, Any]]) -> int:
        """Write a table; gives back how many rows it has."""
        lines = (json.dumps(row, ensure_ascii=False).encode() + b"\n" for row in rows)
        return self._write(f"tables/{name}.jsonl", lines)

    def file(self, name: str, content: bytes) -> None:
        """Write what stands at `name` in the instance folder."""
        self._write(f"files/{name}", [content])

    def _write(self, member: str, parts: Iterable[bytes]) -> int:
        digest, count = hashlib.sha256(), 0
        with self._zip.open(member, "w", force_zip64=True) as into:
            for part in parts:
                into.write(part)
                digest.update(part)
                count += 1
        self._members[member] = digest.hexdigest()
        return count

    def _say_what_it_holds(self) -> None:
        said = {"kind": self._kind, "made_at": self._made_at, "version": self.version}
        self._zip.writestr(CONTENTS, json.dumps({**said, "members": self._members}, indent=1))


class Reader:
    """Reads a backup whose every part was checked against its hash when it was opened."""

    def __init__(self, path: Path, kind: str) -> None:
        self._where = str(path)
        self._zip = self._open(path)
        try:
            self.contents = self._read_contents(kind)
            self._check_members()
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Let go of the file."""
        self._zip.close()

    def tables(self) -> list[str]:
        """Names of the tables it holds."""
        return self._below("tables/", ".jsonl")

    def files(self) -> list[str]:
        """Names of the files it holds, from the instance folder on."""
        return self._below("files/", "")

    def rows(self, name: str) -> Iterator[dict[str, Any]]:
        """Every row of a table."""
        with self._zip.open(f"tables/{name}.jsonl") as lines:
            yield from (json.loads(line) for line in lines)

    def file(self, name: str) -> bytes:
        """What a file holds."""
        return self._zip.read(f"files/{name}")

    def _open(self, path: Path) -> zipfile.ZipFile:
        try:
            return zipfile.ZipFile(path)
        except UNREADABLE:
            raise InputProblem(
                "It cannot be read as a backup", self._where, "Give a file of 'trainer backup'."
            ) from None

    def _read_contents(self, kind: str) -> Contents:
        try:
            if self._zip.getinfo(CONTENTS).file_size > LARGEST_LIST:
                raise ValueError
            contents = Contents(**json.loads(self._zip.read(CONTENTS)))
            if not isinstance(contents.members, dict):
                raise ValueError
        except (KeyError, TypeError, *UNREADABLE):
            raise InputProblem(
                "It does not say what it holds", self._where, "Give a file of 'trainer backup'."
            ) from None
        if contents.kind != kind:
            what = f"It holds {contents.kind}, wanted is {kind}"
            raise InputProblem(what, self._where, "Give the other file.")
        return contents

    def _check_members(self) -> None:
        found = set(self._zip.namelist()) - {CONTENTS}
        for name in sorted(found ^ set(self.contents.members)):
            raise InputProblem(f"{name} is missing or too much", self._where, DAMAGED)
        for name, said in self.contents.members.items():
            self._check_name(name)
            try:
                with self._zip.open(name) as part:
                    right = _hash_of(part) == said
            except UNREADABLE:
                right = False
            if not right:
                raise InputProblem(f"{name} is not what was written", self._where, DAMAGED)

    def _check_name(self, name: str) -> None:
        path = PurePosixPath(name)
        if path.is_absolute() or ".." in path.parts or "\\" in name:
            raise InputProblem(f"{name!r} leads out of the folder", self._where, DAMAGED)

    def _below(self, start: str, end: str) -> list[str]:
        names = (name for name in self.contents.members if name.startswith(start))
        return [name.removeprefix(start).removesuffix(end) for name in names]


def _hash_of(part: IO[bytes]) -> str:
    digest = hashlib.sha256()
    while block := part.read(BLOCK):
        digest.update(block)
    return digest.hexdigest()
