"""Accept an issuer whose records count here, and for what; end it at once.

A good signature says who signed, not that they are to be trusted. That is the manager's decision,
under a name that the manager gives, and it is logged.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.did_web import document_address
from trainer.core.records.keys import DID_WEB, PublicKey, read_keys
from trainer.core.records.strict_json import Repeated, read_json
from trainer.store import accepted_issuers, team_summaries
from trainer.store.accepted_issuers import AcceptedIssuerRow
from trainer.store.unit import Unit
from trainer.use_cases.fetch_outside import Door
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS, SETTERS

LONGEST_NAME = 80
WHERE = "identity"
REMEDY = "Ask the issuer, not the holder, for its key or its did, and give it as it stands."


@dataclass(frozen=True)
class Wish:
    """What is to be accepted: a name of the house's own, and for which methods and services."""

    name: str
    methods: Sequence[str]
    services: Sequence[str]


@dataclass(frozen=True)
class Identity:
    """Who an issuer is: the id that its records name, and its keys as text."""

    issuer: str
    keys: str


def listed(unit: Unit) -> Sequence[AcceptedIssuerRow]:
    """The issuers that the viewer's organisation accepts. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return accepted_issuers.open_ones(unit)


def identify(text: str, door: Door) -> Identity:
    """Find out who is meant. A did:web is looked up where it stands. Raises InputProblem."""
    said = text.strip()
    if said.startswith(DID_WEB):
        return _published(said.partition("#")[0], door)
    keys = read_keys(said)
    document = _document(said.encode()) if said.startswith("{") else {}
    if "verificationMethod" in document:
        return _of_document(document, said)
    return Identity(keys[0].did, said)


def accept(unit: Unit, bank: Bank, identity: Identity, wish: Wish, now: datetime) -> str:
    """Accept an issuer; a decision about the same one is ended. Gives the id.

    Raises InputProblem naming the field, Forbidden.
    """
    unit.viewer.must_be(*SETTERS)
    name = wish.name.strip()
    if not name or len(name) > LONGEST_NAME:
        raise InputProblem("It needs a name of 1 to 80 letters", "name", "Say what you call it.")
    methods = [one for one in bank.methods if one in wish.methods]
    services = [one for one in SERVICES if one in wish.services]
    if not methods or not services:
        where = "services" if methods else "methods"
        raise InputProblem("It is accepted for nothing", where, "Tick at least one of each.")
    before = accepted_issuers.of_issuer(unit, identity.issuer)
    if before is not None:
        _end(unit, before, now)
    row = AcceptedIssuerRow(
        organisation_id=unit.viewer.organisation_id,
        issuer=identity.issuer,
        name=name,
        keys=identity.keys,
        methods=methods,
        services=services,
        accepted_by=unit.viewer.person_id,
        accepted_at=now,
    )
    accepted_issuers.keep(unit, row)
    team_summaries.forget(unit)
    body = {"issuer": row.issuer, "name": name, "methods": methods, "services": services}
    log(unit, "issuer.accepted", {"accepted": row.id, **body}, now)
    return row.id


def end(unit: Unit, accepted_id: str, now: datetime) -> None:
    """Accept an issuer no longer: its records stop counting at once. Twice is once.

    Raises NotFound, Forbidden.
    """
    unit.viewer.must_be(*SETTERS)
    row = accepted_issuers.one(unit, accepted_id)
    if row.ended_at is None:
        _end(unit, row, now)


def keys_of(row: AcceptedIssuerRow) -> tuple[PublicKey, ...]:
    """The keys of an accepted issuer."""
    return read_keys(row.keys)


def _end(unit: Unit, row: AcceptedIssuerRow, now: datetime) -> None:
    row.ended_at, row.ended_by = now, unit.viewer.person_id
    team_summaries.forget(unit)
    log(unit, "issuer.ended", {"accepted": row.id, "issuer": row.issuer}, now)


def _published(did: str, door: Door) -> Identity:
    try:
        address = document_address(did)
    except ValueError:
        raise InputProblem("This is no did:web", WHERE, REMEDY) from None
    content = door.fetch(address).content
    found = _of_document(_document(content), content.decode("utf-8", "replace"))
    if found.issuer != did:
        raise InputProblem("The document there is somebody else's", WHERE, REMEDY)
    return found


def _of_document(document: dict[str, Any], text: str) -> Identity:
    issuer = document.get("id")
    if not isinstance(issuer, str) or not issuer.startswith("did:"):
        raise InputProblem("The document does not say whose it is", WHERE, REMEDY)
    read_keys(text)
    return Identity(issuer, json.dumps(document))


def _document(content: bytes) -> dict[str, Any]:
    try:
        return read_json(content, WHERE)
    except Repeated:
        raise InputProblem("It could be read in two ways", WHERE, REMEDY) from None
