"""Show whether a record holds: one of ours by its id, or any record from its file."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from trainer.core.knowledge.bank import Bank
from trainer.core.problems import InputProblem, NotFound
from trainer.core.records.keys import PublicKey, read_key
from trainer.core.records.proof import issuer_of, sign
from trainer.core.records.status_list import ListAddress, compose_list
from trainer.core.records.strict_json import Repeated, read_json
from trainer.core.records.verify import Verification, verify
from trainer.store import people, records
from trainer.store.unit import Unit
from trainer.use_cases.certify import Issuing
from trainer.use_cases.issuer_keys import signer_of

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


@dataclass(frozen=True)
class IssuerShown:
    """An issuer's own page: name, key, and where its status list stands."""

    id: str
    name: str
    key: PublicKey
    status_list: str


def show(unit: Unit, bank: Bank, record_id: str, issuing: Issuing, now: datetime) -> Shown:
    """One of our records with its proof checked anew. Raises NotFound."""
    row = records.record(unit, record_id)
    signer = signer_of(issuing.keys, row.organisation_id)
    document = json.loads(row.document)
    method = bank.methods.get(row.method)
    return Shown(
        row,
        people.person(unit, row.person_id).name,
        people.organisation(unit, row.organisation_id).name,
        method.name if method else row.method,
        tuple(_told(document)),
        tuple((one["name"], one["narrative"]) for one in document["evidence"]),
        verify(row.document.encode(), signer.public, [_own_list(unit, row, issuing, now)], now),
    )


def issuer(unit: Unit, organisation_id: str, issuing: Issuing) -> IssuerShown:
    """An issuer's page. Raises NotFound for what is no academy."""
    row = people.organisation(unit, organisation_id)
    if row.kind == "salon":
        raise NotFound
    key = signer_of(issuing.keys, organisation_id).public
    newest = records.newest_of(unit, organisation_id)
    address = _list_named_by(newest) if newest else issuing.status_list(organisation_id)
    return IssuerShown(row.id, row.name, key, address)


def status_list(
    unit: Unit, organisation_id: str, issuing: Issuing, now: datetime
) -> dict[str, Any]:
    """The signed status list of an issuer, the same for everyone who asks within the hour.

    It goes by the address that the newest record names, whatever name we are reached by.
    """
    shown = issuer(unit, organisation_id, issuing)
    return _list_at(unit, organisation_id, shown.status_list, issuing, now)


def check_file(
    unit: Unit,
    text: bytes,
    key_text: str,
    lists: Sequence[bytes],
    issuing: Issuing,
    now: datetime,
) -> Verification:
    """Check a record from anywhere. For one of ours, our own key and list are used.

    Raises InputProblem when the file cannot be read, or when it is not ours and no key is given.
    """
    if key_text.strip():
        return verify(text, read_key(key_text), lists, now)
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
    signer = signer_of(issuing.keys, row.organisation_id)
    return verify(text, signer.public, [*lists, _own_list(unit, row, issuing, now)], now)


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


def _own_list(unit: Unit, row: records.RecordRow, issuing: Issuing, now: datetime) -> bytes:
    """Our list as it stands now, under the address that this record names."""
    address = _list_named_by(row)
    return json.dumps(_list_at(unit, row.organisation_id, address, issuing, now)).encode()


def _list_at(
    unit: Unit, organisation_id: str, address: str, issuing: Issuing, now: datetime
) -> dict[str, Any]:
    since = now.replace(minute=0, second=0, microsecond=0)
    signer = signer_of(issuing.keys, organisation_id)
    named = ListAddress(address, signer.public.did)
    bits = records.bits_set(unit, organisation_id)
    return sign(compose_list(named, bits, since, since + LIST_HOLDS), signer, since)


def _told(document: Mapping[str, Any]) -> list[tuple[str, str]]:
    subject = document["credentialSubject"]
    described = {one["id"]: one for one in subject["achievement"]["resultDescription"]}
    pairs = [(described[one["resultDescription"]], one["value"]) for one in subject["result"]]
    return [(told["name"], _with_bounds(told, value)) for told, value in pairs]


def _with_bounds(told: Mapping[str, Any], value: str) -> str:
    if "valueMax" not in told:
        return value
    return f"{value} of {told['valueMax']}; {told['requiredValue']} needed"
