"""Issue a completion record once the assessment is passed and the work is signed off."""

import json
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, time
from typing import Any
from uuid import UUID

from trainer.core.knowledge.bank import Bank
from trainer.core.records.proof import issuer_of, sign
from trainer.core.records.record import Alignment, Completion, Holder, Issuer, compose
from trainer.core.records.requirement import (
    Missing,
    Requirement,
    last_day,
    may_refresh,
    missing,
    requirements,
)
from trainer.core.records.status_list import SIZE
from trainer.store import people, records
from trainer.store.base import new_id
from trainer.store.unit import Unit
from trainer.use_cases.evidence import Evidence, gather
from trainer.use_cases.issuer_keys import signer_of
from trainer.use_cases.issuer_names import Issuers, issuer_id, list_address
from trainer.use_cases.keep_log import log
from trainer.use_cases.keep_standing import held, refresh

LAST_SECOND = time(23, 59, 59, tzinfo=UTC)
SALT_BYTES = 16


@dataclass(frozen=True)
class Issuing(Issuers):
    """What issuing needs from outside: the folder of keys, our own address, the terms.

    A record holds `months_bonded` or `months_loose` calendar months, unless the method's scheme
    says how many.
    """

    months_bonded: int = 12
    months_loose: int = 24

    def months(self, bank: Bank, method: str) -> int:
        """How many months a record for a method holds."""
        kind = bank.methods[method]
        usual = self.months_bonded if kind.bonded else self.months_loose
        return kind.scheme.valid_months or usual


@dataclass(frozen=True)
class Needed:
    """What a record takes from one person for one method, and how each of it stands.

    `refreshes`: the shorter way of renewing is open to them. `holds`: a record is in force.
    """

    method: str
    missing: Missing
    requirements: tuple[Requirement, ...]
    refreshes: bool
    holds: bool


def consider(
    unit: Unit,
    bank: Bank,
    person_id: str,
    organisation_id: str,
    method: str,
    issuing: Issuing,
    now: datetime,
) -> str | None:
    """Issue the record a person has earned, once; bring the standing up to date either way.

    Call it after a passed sitting and after a sign-off. Gives the id of the record that rests on
    the latest passed sitting, or None while something is missing.
    """
    records.alone(unit, person_id)
    evidence = gather(unit, person_id, method)
    record_id = None
    if _trains(unit, organisation_id, person_id):
        record_id = _earned(unit, bank, evidence, person_id, organisation_id, method, issuing, now)
    refresh(unit, evidence, person_id, method, now)
    return record_id


def needed(unit: Unit, bank: Bank, person_id: str, method: str, now: datetime) -> Needed:
    """Every requirement of a record for a method, and how it stands for a person."""
    scheme, known, day = bank.methods[method].scheme, held(unit, person_id, method), now.date()
    done = gather(unit, person_id, method).done
    return Needed(
        method,
        missing(day, scheme, done, known),
        requirements(day, scheme, done, known),
        may_refresh(day, scheme, known),
        any(one.state == "in_force" and one.valid_until >= day for one in known),
    )


def credential_id(record_id: str) -> str:
    """A record's id as the record itself writes it."""
    return f"urn:uuid:{UUID(record_id)}"


def keep_signed(
    unit: Unit,
    document: dict[str, Any],
    row: records.RecordRow,
    issuing: Issuing,
    now: datetime,
) -> str:
    """Sign a document, keep it as a record, and log that it was issued."""
    signed = sign(document, signer_of(issuing.keys, row.organisation_id), now)
    row.document = json.dumps(signed, ensure_ascii=False)
    row.issuer = issuer_of(signed)
    row.state, row.state_since, row.issued_at = "in_force", now, now
    records.keep(unit, row)
    body = {"record": row.id, "method": row.method, "services": row.services, "basis": row.basis}
    log(
        unit,
        "record.issued",
        body,
        now,
        person_id=row.person_id,
        organisation_id=row.organisation_id,
    )
    return row.id


def place_for(unit: Unit, organisation_id: str, record_id: str) -> int:
    """A place on the issuer's status list, at random, for this record alone."""
    return records.take_place(unit, organisation_id, record_id, lambda: secrets.randbelow(SIZE))


def _missing(
    unit: Unit, bank: Bank, evidence: Evidence, person_id: str, method: str, now: datetime
) -> Missing:
    known, scheme = held(unit, person_id, method), bank.methods[method].scheme
    return missing(now.date(), scheme, evidence.done, known)


def _trains(unit: Unit, organisation_id: str, person_id: str) -> bool:
    row = people.membership(unit, person_id, organisation_id)
    is_academy = people.organisation(unit, organisation_id).kind != "salon"
    return is_academy and row is not None and row.ended_at is None and "apprentice" in row.roles


def _earned(
    unit: Unit,
    bank: Bank,
    evidence: Evidence,
    person_id: str,
    organisation_id: str,
    method: str,
    issuing: Issuing,
    now: datetime,
) -> str | None:
    basis = f"sitting:{evidence.sitting_id}"
    before = records.resting_on(unit, basis)
    if before is not None:
        return before.id
    if not _missing(unit, bank, evidence, person_id, method, now).nothing:
        return None
    scheme, months = bank.methods[method].scheme, issuing.months(bank, method)
    until = last_day(now.date(), months, scheme, held(unit, person_id, method))
    row = records.RecordRow(
        id=new_id(),
        person_id=person_id,
        organisation_id=organisation_id,
        method=method,
        services=list(scheme.observed),
        valid_from=now.replace(microsecond=0),
        valid_until=datetime.combine(until, LAST_SECOND),
        basis=basis,
    )
    document = compose(_completion(unit, bank, evidence, row, issuing))
    return keep_signed(unit, document, row, issuing, now)


def _completion(
    unit: Unit, bank: Bank, evidence: Evidence, row: records.RecordRow, issuing: Issuing
) -> Completion:
    if evidence.result is None:
        raise ValueError(f"{evidence.sitting_id=} has no result")
    organisation_id = row.organisation_id
    issuer = issuer_id(issuing, organisation_id)
    name = people.person(unit, row.person_id).name
    return Completion(
        id=credential_id(row.id),
        issuer=Issuer(
            issuer,
            people.organisation(unit, organisation_id).name,
            issuing.page(organisation_id),
        ),
        holder=Holder(f"urn:uuid:{UUID(new_id())}", name, secrets.token_hex(SALT_BYTES)),
        method=row.method,
        method_name=bank.methods[row.method].name,
        assessment=evidence.result,
        observed=tuple(evidence.observed[service] for service in row.services),
        valid_from=row.valid_from,
        valid_until=row.valid_until,
        status_list=list_address(unit, issuing, organisation_id, issuer),
        status_index=place_for(unit, organisation_id, row.id),
        alignment=_alignment(bank, row.method),
    )


def _alignment(bank: Bank, method: str) -> tuple[Alignment, ...]:
    """The occupational standards that the bank holds for a method: title, keeper, code, address."""
    found = []
    for source in (bank.sources[name] for name in bank.methods[method].standards):
        title, _, keeper = source.citation.partition(". ")
        framework = keeper.split(",")[0].rstrip(".")
        found.append(Alignment(source.locator, title, framework, source.url))
    return tuple(found)
