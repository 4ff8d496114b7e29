"""Show whether a record holds: one of ours by its id, or any record from its file."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from trainer.core.knowledge.bank import Bank
from trainer.core.problems import InputProblem, NotFound
from trainer.core.records.instants import for_people
from trainer.core.records.keys import PublicKey, read_keys
from trainer.core.records.proof import issuer_of, only_proof, sign
from trainer.core.records.record import PASSED_WORDS, is_without_holder
from trainer.core.records.status_list import ListAddress, compose_list
from trainer.core.records.strict_json import Repeated, read_json
from trainer.core.records.verify import Verification, verify
from trainer.store import people, records
from trainer.store.unit import Unit
from trainer.use_cases.issuer_keys import public_keys
from trainer.use_cases.issuer_names import (
    Issuers,
    document_of,
    issuer_by_tail,
    issuer_id,
    keys_of,
    list_address,
    list_tail,
    signer_named,
    tail_of,
)

LIST_HOLDS = timedelta(days=1)
ID_PREFIX = "urn:uuid:"


@dataclass(frozen=True)
class Shown:
    """One record of ours, for its public page."""

    row: records.RecordRow
    holder: str
    issuer: str
    method: str
    told: Sequence[tuple[str, str]]
    evidence: Sequence[tuple[str, str]]
    verification: Verification
    list_tail: str
    standards: Sequence[str]


@dataclass(frozen=True)
class IssuerShown:
    """An issuer's own page: name, the id it issues under, its keys, its status lists.

    `key` is the one in use, named as new records name it; `keys` are all, that one first.
    `lists` are pairs of an id it issued under and the tail of the address of that id's status list.
    """

    id: str
    name: str
    issuer: str
    key: PublicKey
    keys: Sequence[PublicKey]
    lists: Sequence[tuple[str, str]]


def show(unit: Unit, bank: Bank, record_id: str, issuing: Issuers, now: datetime) -> Shown:
    """One of our records with its proof checked anew. Raises NotFound, also without its holder."""
    row = records.record(unit, record_id)
    document = json.loads(row.document)
    if is_without_holder(document):
        raise NotFound
    method = bank.methods.get(row.method)
    keys = keys_of(unit, issuing, row.organisation_id)
    return Shown(
        row,
        people.person(unit, row.person_id).name,
        people.organisation(unit, row.organisation_id).name,
        method.name if method else row.method,
        tuple(_told(document)),
        tuple((one["name"], one["narrative"]) for one in document["evidence"]),
        verify(row.document.encode(), keys, _own_list(unit, row, issuing, now), now),
        list_tail(unit, row.organisation_id, row.issuer),
        tuple(_standards(document)),
    )


def issuer(unit: Unit, organisation_id: str, issuing: Issuers) -> IssuerShown:
    """An issuer's page. Raises NotFound for what is no academy."""
    row = people.organisation(unit, organisation_id)
    if row.kind == "salon":
        raise NotFound
    name = issuer_id(issuing, organisation_id)
    keys = public_keys(issuing.keys, organisation_id)
    known = [known for known, _ in records.names_of_issuer(unit, organisation_id)] or [name]
    lists = [(one, tail_of(one) if place else "") for place, one in enumerate(known)]
    current = replace(keys[0], method=f"{name}#{keys[0].multibase}")
    return IssuerShown(row.id, row.name, name, current, keys, lists)


def did_document(unit: Unit, organisation_id: str, issuing: Issuers) -> dict[str, Any]:
    """The document that lists an issuer's keys, old ones too. Raises NotFound."""
    issuer(unit, organisation_id, issuing)
    return document_of(unit, issuing, organisation_id)


def key_of_record(unit: Unit, record_id: str, issuing: Issuers) -> PublicKey:
    """The key that signed one of our records, named as the record names it. Raises NotFound."""
    row = records.record(unit, record_id)
    method = only_proof(json.loads(row.document)).get("verificationMethod")
    keys = keys_of(unit, issuing, row.organisation_id)
    found = next((key for key in keys if key.method == method), None)
    if found is None:
        raise NotFound
    return found


def status_list(
    unit: Unit, organisation_id: str, issuing: Issuers, now: datetime, tail: str = ""
) -> dict[str, Any]:
    """One signed status list of an issuer, the same for everyone who asks within the hour.

    `tail` is the last part of its address, '' for the plain one. It goes by the address that the
    newest record of its name gives, whatever name we are reached by. Raises NotFound.
    """
    issuer(unit, organisation_id, issuing)
    name = issuer_by_tail(unit, organisation_id, tail)
    if name is None and tail:
        raise NotFound
    name = name or issuer_id(issuing, organisation_id)
    newest = records.newest_named(unit, organisation_id, name)
    address = list_address(unit, issuing, organisation_id, name)
    address = _list_named_by(newest) if newest else address
    found = _list_at(unit, organisation_id, name, address, issuing, now)
    if found is None:
        raise NotFound
    return found


def check_file(
    unit: Unit,
    text: bytes,
    key_text: str,
    lists: Sequence[bytes],
    issuing: Issuers,
    now: datetime,
) -> Verification:
    """Check a record from anywhere. For one of ours, our own key and list are used.

    Raises InputProblem when the file cannot be read, or when it is not ours and no key is given.
    """
    if key_text.strip():
        return verify(text, read_keys(key_text), lists, now)
    try:
        row = _ours(unit, read_json(text, "record"))
    except Repeated:
        return verify(text, PublicKey(bytes(32)), lists, now)
    if row is None:
        raise InputProblem(
            "This record is not one of ours",
            "issuer key",
            "Give the issuer's public key as well; ask the issuer for it, not the holder.",
        )
    keys = keys_of(unit, issuing, row.organisation_id)
    return verify(text, keys, [*lists, *_own_list(unit, row, issuing, now)], now)


def _ours(unit: Unit, document: Mapping[str, Any]) -> records.RecordRow | None:
    name = document.get("id")
    if not isinstance(name, str) or not name.startswith(ID_PREFIX) or not issuer_of(document):
        return None
    try:
        return records.record(unit, UUID(name.removeprefix(ID_PREFIX)).hex)
    except (ValueError, NotFound):
        return None


def _list_named_by(row: records.RecordRow) -> str:
    return str(json.loads(row.document)["credentialStatus"]["statusListCredential"])


def _own_list(unit: Unit, row: records.RecordRow, issuing: Issuers, now: datetime) -> list[bytes]:
    """Our list as it stands now, under the address that this record names.

    None once the record and all others of its name have ended, and the name's key is gone.
    """
    address = _list_named_by(row)
    found = _list_at(unit, row.organisation_id, row.issuer, address, issuing, now)
    return [] if found is None else [json.dumps(found).encode()]


def _list_at(
    unit: Unit, organisation_id: str, name: str, address: str, issuing: Issuers, now: datetime
) -> dict[str, Any] | None:
    signer = signer_named(issuing, organisation_id, name)
    if signer is None:
        return None
    since = now.replace(minute=0, second=0, microsecond=0)
    bits = records.bits_set(unit, organisation_id)
    document = compose_list(ListAddress(address, name), bits, since, since + LIST_HOLDS)
    return sign(document, signer, since)


def _told(document: Mapping[str, Any]) -> list[tuple[str, str]]:
    subject = document["credentialSubject"]
    described = {one["id"]: one for one in subject["achievement"]["resultDescription"]}
    pairs = [(described[one["resultDescription"]], one["value"]) for one in subject["result"]]
    return [(told["name"], _with_bounds(told, value)) for told, value in pairs]


def _standards(document: Mapping[str, Any]) -> Iterator[str]:
    for one in document["credentialSubject"]["achievement"].get("alignment", ()):
        yield f"{one['targetCode']}: {one['targetName']} ({one['targetFramework']})"


def _with_bounds(told: Mapping[str, Any], value: str) -> str:
    if told["name"] == PASSED_WORDS:
        return for_people(date.fromisoformat(value))
    if "valueMax" not in told:
        return value
    return f"{value} of {told['valueMax']}; {told['requiredValue']} needed"
