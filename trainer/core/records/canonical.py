"""The canonical form (RDFC-1.0) of the shapes that we issue, written directly.

JSON-LD expansion costs tens of milliseconds; what we issue always has one shape, whose statements
can be written down at once. The tables here are closed: a member, type, spelling or list that they
do not name sends a document to the general path, which is the library's. Equality of the two paths
is shown by test on generated records (10,000 in tests/benchmarks/verification.py).

References
----------
W3C RDF Dataset Canonicalization 1.0, 4.4 to 4.7; W3C JSON-LD 1.1; the two pinned contexts.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from typing import Any

from trainer.core.records import statements as told
from trainer.core.records.contexts import CREDENTIALS, OPEN_BADGES, words_of_contexts
from trainer.core.records.statements import Node

ABSOLUTE = re.compile(r"(?:did:(?:key|web)|urn:uuid|https?):[A-Za-z0-9._~:/?#@!$&'()*+,;=%-]+")
UNPLAIN = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
BLANK, SELF = "_:", "_:a"


class OtherShape(ValueError):
    """The document is not of a shape that is written directly."""


@dataclass
class _Found:
    """Statements so far: (subject, predicate, object), and how many nodes have no name."""

    triples: list[tuple[str, str, str]]
    named: set[str]
    blanks: int = 0


def canonical_document(document: Mapping[str, Any]) -> bytes:
    """Write the canonical statements of a record or status list of our own shape.

    Parameters
    ----------
    document : The document without its proof.

    Returns
    -------
    Canonical N-Quads, UTF-8: what a general processor gives for the same document.

    Raises
    ------
    OtherShape : If the document is not of a shape that we issue.
    """
    context = document.get("@context")
    if context == [CREDENTIALS, OPEN_BADGES]:
        return _canonical(document, told.RECORD)
    if context == [CREDENTIALS]:
        return _canonical(document, told.STATUS_LIST)
    raise OtherShape("contexts")


def canonical_proof(options: Mapping[str, Any]) -> bytes:
    """Write the canonical statements of proof options.

    Parameters
    ----------
    options : The proof without its value, without @context.

    Returns
    -------
    Canonical N-Quads, UTF-8.

    Raises
    ------
    OtherShape : If they are not of the shape that we issue.
    """
    return _canonical(options, told.PROOF)


def _canonical(document: Mapping[str, Any], shape: Node) -> bytes:
    found = _Found([], set())
    _node(document, shape, found, top=True)
    names = _names(found)
    lines = sorted(_line(triple, names) for triple in found.triples)
    return "".join(lines).encode()


def _node(value: Any, shape: Node, found: _Found, top: bool = False) -> str:
    if not isinstance(value, dict):
        raise OtherShape("an object is wanted")
    if not value.keys() <= (shape.at_top if top else shape.known):
        raise OtherShape("a member that we do not issue")
    subject = _subject(value, shape, found)
    if value.get("type") != shape.type:
        raise OtherShape("another type")
    found.triples.extend((subject, told.RDF_TYPE, f"<{iri}>") for iri in shape.type_iris)
    for name, member in shape.members.items():
        if name in value:
            for part in _parts(value[name], member.many):
                found.triples.append((subject, member.predicate, _object(part, member, found)))
    return subject


def _subject(value: Mapping[str, Any], shape: Node, found: _Found) -> str:
    if not shape.named:
        found.blanks += 1
        return f"{BLANK}{found.blanks}"
    subject = _iri(value.get("id"))
    if subject in found.named:
        raise OtherShape("two nodes of one name")
    found.named.add(subject)
    return subject


def _parts(value: Any, many: bool) -> list[Any]:
    if not many:
        return [value]
    if not isinstance(value, list) or not value:
        raise OtherShape("a list is wanted")
    return value


def _object(value: Any, member: told.Member, found: _Found) -> str:
    if member.node is not None:
        return _node(value, member.node, found)
    if member.kind == told.FLAG:
        if not isinstance(value, bool):
            raise OtherShape("yes or no is wanted")
        return f'"{str(value).lower()}"^^<{told.BOOLEAN}>'
    if member.kind == told.LINK:
        return _iri(value)
    if member.kind == told.PURPOSE:
        if value not in told.PURPOSES:
            raise OtherShape("another purpose")
        return f"<{told.PURPOSES[value]}>"
    return _literal(value, member.kind)


def _literal(value: Any, kind: str) -> str:
    if not isinstance(value, str) or UNPLAIN.search(value):
        raise OtherShape("plain text is wanted")
    escaped = value.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"' if kind == told.TEXT else f'"{escaped}"^^<{kind}>'


def _iri(value: Any) -> str:
    """An absolute name that no word of the contexts could shorten or turn."""
    if not isinstance(value, str) or not ABSOLUTE.fullmatch(value):
        raise OtherShape("an absolute name is wanted")
    if value.startswith(_hosts()):
        raise OtherShape("a name in a vocabulary")
    return f"<{value}>"


@lru_cache(maxsize=1)
def _hosts() -> tuple[str, ...]:
    """The hosts of all vocabularies that the contexts speak of."""
    return tuple(
        sorted({"/".join(word.split("/")[:3]) for word in words_of_contexts() if "://" in word})
    )


def _names(found: _Found) -> dict[str, str]:
    """Canonical names of the nodes without one (RDFC-1.0, 4.4.3, where all hashes differ).

    Raises OtherShape when two have the same hash: telling those apart is the library's work.
    """
    about: dict[str, list[str]] = {f"{BLANK}{n}": [] for n in range(1, found.blanks + 1)}
    for subject, predicate, object_ in found.triples:
        if subject in about:
            about[subject].append(f"{SELF} <{predicate}> {object_} .\n")
        if object_ in about:
            about[object_].append(f"{subject} <{predicate}> {SELF} .\n")
    hashes = {sha256("".join(sorted(lines)).encode()).digest(): n for n, lines in about.items()}
    if len(hashes) != found.blanks:
        raise OtherShape("two nodes that look the same")
    return {hashes[one]: f"_:c14n{place}" for place, one in enumerate(sorted(hashes))}


def _line(triple: tuple[str, str, str], names: Mapping[str, str]) -> str:
    subject, predicate, object_ = triple
    return f"{names.get(subject, subject)} <{predicate}> {names.get(object_, object_)} .\n"
