"""The signed head of the log, kept outside the database: it shows truncation and rewriting.

A head is put down twice around each commit: before it, as the head that is coming; after it, as
the head that stands. So a stop between the two leaves a log that ends at either, which is told
apart from one that was cut off. A log that ends elsewhere is never signed over in silence: the
difference stays in the file for good, as a doubt.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from openvc.multibase import MultibaseError, decode_multibase, encode_multibase

from trainer.core.problems import InputProblem
from trainer.core.records.event_log import START
from trainer.core.records.keys import PublicKey, Signer

WHERE = "the log's signed head"
REMEDY = "Keep this file as evidence, and restore it from a backup."


@dataclass(frozen=True, slots=True)
class Head:
    """The end of a log: number of its last entry, 0 for none, and that entry's hash."""

    number: int = 0
    hash: str = START


@dataclass(frozen=True, slots=True)
class Doubt:
    """Where the log did not end as sealed when it was next written to."""

    sealed: Head
    found: Head


@dataclass(frozen=True, slots=True)
class Seal:
    """What is signed: the head that stands, the one that is coming, where sealing began, doubts."""

    head: Head
    coming: Head | None = None
    began: int = 0
    doubts: tuple[Doubt, ...] = ()


def announce(seal: Seal | None, start: Head, end: Head) -> Seal:
    """Say, before a commit, that the log will go on from `start` to `end`.

    Parameters
    ----------
    seal : What is sealed so far, None for nothing yet.
    start, end : The log's end before and after the entries of this commit.

    Returns
    -------
    The seal to be signed before the commit; it holds a doubt more if the log had been cut or
    rewritten since.
    """
    if seal is None:
        return Seal(start, end, start.number)
    fits = start in (seal.head, seal.coming)
    doubts = seal.doubts if fits else (*seal.doubts, Doubt(seal.head, start))
    return Seal(start, end, seal.began, doubts)


def settle(seal: Seal) -> Seal:
    """Say, after the commit, that the head that was coming stands."""
    return replace(seal, head=seal.coming or seal.head, coming=None)


def cuts(seal: Seal, end: Head, hash_at: Mapping[int, str]) -> list[str]:
    """Where a log is not the one that was sealed.

    Parameters
    ----------
    seal : What is sealed.
    end : The log's end as found.
    hash_at : The hash of each entry found, by number.

    Returns
    -------
    In words: truncation, rewriting, entries that nobody sealed, and every doubt.
    """
    found = [
        f"when entry {one.found.number + 1} was written, the log did not end at entry "
        f"{one.sealed.number} as sealed: it had been cut off or rewritten before"
        for one in seal.doubts
    ]
    if end in (seal.head, seal.coming):
        return found
    if end.number < seal.head.number:
        found.append(
            f"the log is cut off: it ends at entry {end.number}, sealed was {seal.head.number}"
        )
    elif hash_at.get(seal.head.number, START) != seal.head.hash:
        found.append(f"the log was rewritten: entry {seal.head.number} is not the one sealed")
    else:
        found.append(f"entries after {seal.head.number} were added without the site's seal")
    return found


def write_seal(seal: Seal, signer: Signer) -> bytes:
    """Write a seal as signed JSON (Ed25519 over RFC 8785 of all but the signature)."""
    said = {
        "head": _told(seal.head),
        "coming": _told(seal.coming) if seal.coming else None,
        "began": seal.began,
        "doubts": [{"sealed": _told(d.sealed), "found": _told(d.found)} for d in seal.doubts],
        "key": signer.public.multibase,
    }
    signature = Ed25519PrivateKey.from_private_bytes(signer.secret).sign(rfc8785.dumps(said))
    return json.dumps({**said, "signature": encode_multibase(signature)}, indent=2).encode()


def read_seal(text: bytes, key: PublicKey) -> Seal:
    """Read a seal and check its signature.

    Parameters
    ----------
    text : The file.
    key : The site's own key for the log.

    Returns
    -------
    What it says.

    Raises
    ------
    InputProblem : If it cannot be read, or the site's key did not sign it.
    """
    try:
        said = json.loads(text)
        signature = decode_multibase(said.pop("signature"))
        Ed25519PublicKey.from_public_bytes(key.raw).verify(signature, rfc8785.dumps(said))
        doubts = tuple(Doubt(_head(d["sealed"]), _head(d["found"])) for d in said["doubts"])
        coming = _head(said["coming"]) if said["coming"] else None
        return Seal(_head(said["head"]), coming, said["began"], doubts)
    except InvalidSignature:
        raise InputProblem("the site's key did not sign it", WHERE, REMEDY) from None
    except (ValueError, TypeError, KeyError, AttributeError, MultibaseError, RecursionError):
        raise InputProblem("it cannot be read", WHERE, REMEDY) from None


def _told(head: Head) -> dict[str, Any]:
    return {"number": head.number, "hash": head.hash}


def _head(told: Mapping[str, Any]) -> Head:
    return Head(told["number"], told["hash"])
