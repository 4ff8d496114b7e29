"""Suspend, withdraw, reinstate and reissue a record; every step with its reason, for good.

Suspension and withdrawal both set the record's bit, and a set bit is never cleared: a suspension is
lifted by a new record, which says the same and ends on the same day. A new name brings a new record
too; the old one is marked as replaced.
"""

import json
import secrets
from datetime import datetime
from typing import Any

from trainer.core.problems import InputProblem
from trainer.core.records.independence import why_not
from trainer.core.records.instants import write_instant
from trainer.core.records.record import is_without_holder, name_hash, names_holder
from trainer.core.records.standing import State, may_change
from trainer.core.records.status_list import entry
from trainer.store import observations, people, records, team_summaries
from trainer.store.base import new_id
from trainer.store.observations import Watching
from trainer.store.unit import Unit
from trainer.use_cases.certify import SALT_BYTES, Issuing, credential_id, keep_signed, place_for
from trainer.use_cases.evidence import gather
from trainer.use_cases.examiners import examiners_of
from trainer.use_cases.issuer_names import issuer_id, list_address
from trainer.use_cases.keep_log import log
from trainer.use_cases.keep_standing import refresh
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden
from trainer.use_cases.roles import DECIDERS

REASON = Letters(10, 500)


def suspend(unit: Unit, record_id: str, reason: str, now: datetime) -> None:
    """Suspend a record of the viewer's organisation."""
    _stop(unit, record_id, "suspended", reason, now)


def withdraw(unit: Unit, record_id: str, reason: str, now: datetime) -> None:
    """Withdraw a record of the viewer's organisation, for good."""
    _stop(unit, record_id, "withdrawn", reason, now)


def reinstate(unit: Unit, record_id: str, reason: str, issuing: Issuing, now: datetime) -> str:
    """Lift a suspension: issue a new record that ends when the suspended one would have.

    Not by the holder, nor by anybody who watched that work: raises Forbidden.
    """
    row = _decided_on(unit, record_id, reason)
    examiners = examiners_of(unit, row.person_id, row.method)
    refused = why_not(unit.viewer.person_id, row.person_id, examiners)
    if refused:
        raise Forbidden(refused)
    records.alone(unit, row.person_id)
    if row.state != "suspended":
        raise InputProblem("Only a suspended record can be reinstated", "record", "Look again.")
    if row.valid_until <= now:
        raise InputProblem(
            "It has ended meanwhile", "record", "A new assessment brings a new record."
        )
    if has_lost_work(unit, row):
        raise InputProblem(
            "Watched work that it rests on was set aside", "record", "It is watched again first."
        )
    basis = f"reinstates:{row.id}"
    before = records.resting_on(unit, basis)
    if before is not None:
        return before.id
    renewed = _copy(row, basis, now.replace(microsecond=0))
    document = _again(unit, row, renewed, issuing)
    keep_signed(unit, document, renewed, issuing, now)
    _tell(unit, "record.reinstated", row, reason, now)
    refresh(unit, gather(unit, row.person_id, row.method), row.person_id, row.method, now)
    return renewed.id


def reissue(unit: Unit, record_id: str, reason: str, issuing: Issuing, now: datetime) -> str:
    """Issue a record again under its holder's present name, for the same days.

    The old one is marked as replaced and no longer valid. Raises Forbidden, InputProblem.
    """
    row = _decided_on(unit, record_id, reason)
    records.alone(unit, row.person_id)
    basis = f"reissues:{row.id}"
    before = records.resting_on(unit, basis)
    if before is not None:
        return before.id
    if row.state != "in_force" or row.valid_until <= now:
        raise InputProblem(
            "Only a record in force can be issued again", "record", "Look at its state again."
        )
    name = people.person(unit, row.person_id).name
    if carries_name(row, name):
        raise InputProblem(
            "It carries the present name already", "record", "Change the person's name first."
        )
    renewed = _copy(row, basis, row.valid_from)
    document = _again(unit, row, renewed, issuing)
    for one in document["credentialSubject"]["identifier"]:
        one["salt"] = secrets.token_hex(SALT_BYTES)
        one["identityHash"] = name_hash(name, one["salt"])
    row.state, row.state_since, row.state_reason = "replaced", now, reason.strip()
    records.set_bit(unit, row.id)
    keep_signed(unit, document, renewed, issuing, now)
    _tell(unit, "record.replaced", row, reason, now)
    refresh(unit, gather(unit, row.person_id, row.method), row.person_id, row.method, now)
    return renewed.id


def rests_on(row: records.RecordRow, work: Watching) -> bool:
    """Whether a record may rest on work that was watched: it was there when the record was issued.

    A record begins with a whole second.
    """
    signed = work.signed_at.replace(microsecond=0)
    return work.first.service in row.services and signed <= row.valid_from


def has_lost_work(unit: Unit, row: records.RecordRow) -> bool:
    """Whether work that a record rests on was set aside, and nobody has watched it again."""
    watched = observations.latest_watching(unit, row.person_id, row.method).values()
    return any(work.set_aside and rests_on(row, work) for work in watched)


def carries_name(row: records.RecordRow, name: str) -> bool:
    """Whether a record was issued to somebody of this name; one without its holder, to no other."""
    document = json.loads(row.document)
    return is_without_holder(document) or names_holder(document, name)


def _copy(row: records.RecordRow, basis: str, valid_from: datetime) -> records.RecordRow:
    return records.RecordRow(
        id=new_id(),
        person_id=row.person_id,
        organisation_id=row.organisation_id,
        method=row.method,
        services=row.services,
        valid_from=valid_from,
        valid_until=row.valid_until,
        basis=basis,
    )


def _stop(unit: Unit, record_id: str, state: State, reason: str, now: datetime) -> None:
    row = _decided_on(unit, record_id, reason)
    records.alone(unit, row.person_id)
    if not may_change(row.state, state):  # type: ignore[arg-type]
        raise InputProblem(
            f"A record that is {row.state.replace('_', ' ')} cannot be {state}",
            "record",
            "Look at its state again.",
        )
    row.state, row.state_since, row.state_reason = state, now, reason.strip()
    records.set_bit(unit, row.id)
    _tell(unit, f"record.{state}", row, reason, now)
    unit.session.flush()
    refresh(unit, gather(unit, row.person_id, row.method), row.person_id, row.method, now)
    team_summaries.forget_about(unit, row.person_id)


def _decided_on(unit: Unit, record_id: str, reason: str) -> records.RecordRow:
    unit.viewer.must_be(*DECIDERS)
    row = records.record(unit, record_id)
    unit.viewer.must_see(row.organisation_id)
    REASON.read(reason, "reason", "Say in a sentence why; it is kept for good")
    return row


def _tell(unit: Unit, kind: str, row: records.RecordRow, reason: str, now: datetime) -> None:
    body = {"record": row.id, "method": row.method, "reason": reason.strip()}
    log(unit, kind, body, now, person_id=row.person_id, organisation_id=row.organisation_id)


def _again(
    unit: Unit, row: records.RecordRow, renewed: records.RecordRow, issuing: Issuing
) -> dict[str, Any]:
    """The same record under a new id, from its own day on, at a new place on the status list.

    It names the issuer as the academy is named now: the key of the old name may be retired.
    """
    old, new = credential_id(row.id), credential_id(renewed.id)
    document: dict[str, Any] = json.loads(row.document.replace(old, new))
    if is_without_holder(document):
        raise InputProblem(
            "Its holder was taken out of this site, so there is nothing to issue again",
            "decision",
            "It can still be withdrawn. A new assessment brings a new record.",
        )
    del document["proof"]
    document["validFrom"] = write_instant(renewed.valid_from)
    place = place_for(unit, row.organisation_id, renewed.id)
    issuer = issuer_id(issuing, row.organisation_id)
    document["issuer"]["id"] = issuer
    address = list_address(unit, issuing, row.organisation_id, issuer)
    document["credentialStatus"] = entry(address, place)
    return document
