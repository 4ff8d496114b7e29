"""The chain of events that matter: each entry holds the hash of the one before.

The chain holds hashes only; what an event says stands beside it, so that erasing a person's
data leaves the chain whole.
"""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import rfc8785

START = "0" * 64
"""What the first entry holds as the hash before it."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One link: number from 1, kind, moment (ISO, UTC), hash of its body, hashes of the chain."""

    number: int
    kind: str
    at: str
    body_hash: str
    before: str
    hash: str


def body_hash(salt: str, body: Mapping[str, Any]) -> str:
    """SHA-256 of the body's canonical JSON (RFC 8785) with a salt, in hexadecimal.

    The salt keeps the body from being guessed from its hash once it is erased.
    """
    return _digest({"salt": salt, "body": dict(body)})


def link(before: Entry | None, kind: str, at: str, hash_of_body: str) -> Entry:
    """The next entry after `before` (None for the first)."""
    number = before.number + 1 if before else 1
    earlier = before.hash if before else START
    sealed = {"number": number, "kind": kind, "at": at, "body": hash_of_body, "before": earlier}
    return Entry(number, kind, at, hash_of_body, earlier, _digest(sealed))


def breaks(entries: Iterable[Entry]) -> list[str]:
    """Where the chain does not hold, in words; empty when it is whole."""
    found, last = [], None
    for entry in entries:
        expected = link(last, entry.kind, entry.at, entry.body_hash)
        if entry.number != expected.number:
            found.append(f"entry {expected.number} is missing")
        elif entry.before != expected.before or entry.hash != expected.hash:
            found.append(f"entry {entry.number} was changed, or one before it")
        last = entry
    return found


def _digest(value: Mapping[str, Any]) -> str:
    return hashlib.sha256(rfc8785.dumps(dict(value))).hexdigest()
