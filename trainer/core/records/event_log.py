"""The chain of events that matter: each entry holds the hash of the one before.

The chain holds hashes only; what an event says stands beside it, so that erasing a person's
data leaves the chain whole. What was erased is named by a later event; what is gone without that
was deleted.
"""

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import rfc8785

START = "0" * 64
"""What the first entry holds as the hash before it."""
ERASED = "log.erased"
"""The kind of an event that names the entries whose words were erased, as `entries`."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One link: number from 1, kind, moment (ISO, UTC), hash of its body, hashes of the chain."""

    number: int
    kind: str
    at: str
    body_hash: str
    before: str
    hash: str


@dataclass(frozen=True, slots=True)
class Said:
    """What an event says, beside the chain.

    `about` holds who and when: organisation, person, actor, moment. `salt` keeps the words from
    being guessed from their hash once they are erased.
    """

    number: int
    salt: str
    body: Mapping[str, Any]
    about: Mapping[str, str] = field(default_factory=dict)


def body_hash(said: Said) -> str:
    """SHA-256 of what an event says as canonical JSON (RFC 8785) with its salt, in hexadecimal."""
    sealed = {"salt": said.salt, "body": dict(said.body)}
    return _digest({**sealed, "about": dict(said.about)} if said.about else sealed)


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


def wrong_words(entries: Iterable[Entry], said: Iterable[Said]) -> list[str]:
    """Where what events say does not fit the chain.

    Parameters
    ----------
    entries : The chain.
    said : What its events say; missing for those that were erased.

    Returns
    -------
    In words: what was changed, what was deleted without an event that says so.
    """
    sealed = {entry.number: entry for entry in entries}
    found, present, erased = list[str](), set[int](), set[int]()
    for one in said:
        present.add(one.number)
        entry = sealed.get(one.number)
        if entry is None or not _fits(one, entry):
            found.append(f"what entry {one.number} says was changed")
        elif entry.kind == ERASED:
            erased.update(_numbers(one.body))
    gone = sorted(sealed.keys() - present - erased)
    return found + [f"what entry {number} says was deleted" for number in gone]


def _fits(one: Said, entry: Entry) -> bool:
    """Entries written before who and when were sealed too hold the hash of the words alone."""
    plain = Said(one.number, one.salt, one.body)
    return entry.body_hash in (body_hash(one), body_hash(plain))


def _numbers(body: Mapping[str, Any]) -> Iterator[int]:
    entries = body.get("entries")
    return (
        (one for one in entries if isinstance(one, int)) if isinstance(entries, list) else iter(())
    )


def _digest(value: Mapping[str, Any]) -> str:
    return hashlib.sha256(rfc8785.dumps(dict(value))).hexdigest()
