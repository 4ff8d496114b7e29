"""Let somebody sit: who waits, who they are, what is made easier, open it or decline.

Whoever opens a sitting is an examiner of that person (ISO/IEC 17024:2012, 9.4), and is never the
person who sits.
"""

from dataclasses import dataclass
from datetime import datetime

from trainer.core.knowledge.bank import Bank
from trainer.core.marking.accommodation import Accommodation, checked
from trainer.core.records.eligibility import Condition, all_met
from trainer.store import admissions, people
from trainer.store.admissions import BEGUN, DECLINED, OPENED, WAITING, AdmissionRow
from trainer.store.unit import Unit
from trainer.use_cases import accommodate
from trainer.use_cases.ask_to_sit import OPEN_FOR, conditions_of, lapsed, settle
from trainer.use_cases.keep_log import log
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden, InputProblem
from trainer.use_cases.roles import DECIDERS

IDENTITIES = ("passport", "identity_card", "driving_licence", "other_photo", "known")
"""What may be seen: kinds of document with a photo, or a face that is known."""
REASON = Letters(10, 500)


@dataclass(frozen=True, slots=True)
class Candidate:
    """Somebody who waits, or for whom it is open. `own`: it is the viewer, who may not open it."""

    id: str
    person_id: str
    name: str
    method: str
    kind: str
    state: str
    asked_at: datetime
    decided_at: datetime | None
    opened_by: str
    needs: str
    own: bool


@dataclass(frozen=True, slots=True)
class Desk:
    """Who waits, for whom it is open, and whether an instructor has to open it at all."""

    waiting: tuple[Candidate, ...]
    opened: tuple[Candidate, ...]
    invigilated: bool


@dataclass(frozen=True, slots=True)
class Opening:
    """What is put before whoever opens it: the conditions, and what was granted until now."""

    candidate: Candidate
    conditions: tuple[Condition, ...]
    granted: Accommodation


def desk(unit: Unit, now: datetime) -> Desk:
    """The viewer's organisation today. Raises Forbidden."""
    unit.viewer.must_be(*DECIDERS)
    opened = admissions.in_place(unit, OPENED, now - OPEN_FOR)
    return Desk(
        tuple(_candidate(unit, row, name) for row, name in admissions.in_place(unit, WAITING)),
        tuple(_candidate(unit, row, name) for row, name in opened),
        people.organisation(unit, unit.viewer.organisation_id).invigilated,
    )


def waiting(unit: Unit) -> int:
    """How many wait to be let in."""
    return admissions.waiting(unit)


def see(unit: Unit, bank: Bank, admission_id: str, retake_days: int, now: datetime) -> Opening:
    """One of them. Raises NotFound, Forbidden."""
    unit.viewer.must_be("instructor")
    row = admissions.one(unit, admission_id)
    found = conditions_of(unit, bank, row.person_id, row.method, row.kind, retake_days, now)
    name = people.person(unit, row.person_id).name
    granted = accommodate.standing(unit, row.person_id)
    return Opening(_candidate(unit, row, name), found, granted)


def admit(
    unit: Unit,
    bank: Bank,
    admission_id: str,
    identity: str,
    asked: Accommodation,
    retake_days: int,
    now: datetime,
) -> None:
    """Open it: they may begin within the next hours. What is granted is kept for the next time.

    `identity`: what the viewer saw. Raises NotFound, Forbidden, InputProblem naming the field.
    """
    opening = see(unit, bank, admission_id, retake_days, now)
    row = _undecided(unit, admission_id, now)
    if identity not in IDENTITIES:
        raise InputProblem("Nothing is chosen", "identity", "Say what you saw.")
    if not all_met(opening.conditions):
        raise InputProblem("A condition is not met", "identity", "See what is missing above.")
    granted = checked(asked)
    if granted != opening.granted:
        accommodate.grant(unit, row.person_id, granted, now)
    row.state, row.decided_by, row.decided_at = OPENED, unit.viewer.person_id, now
    row.identity, row.needs = identity, ""
    accommodate.grant_in(row, granted)
    unit.session.flush()
    body = {"admission": row.id, "method": row.method, "kind": row.kind, "identity": identity}
    log(unit, "sitting.opened", body, now, person_id=row.person_id)


def decline(unit: Unit, admission_id: str, why: str, now: datetime) -> None:
    """Send them away for now, with the reason. Raises NotFound, Forbidden, InputProblem."""
    unit.viewer.must_be("instructor")
    row = _undecided(unit, admission_id, now)
    said = REASON.read(why, "why", "Say why not now; they read it")
    settle(row, DECLINED)
    row.decided_by, row.decided_at, row.why = unit.viewer.person_id, now, said
    unit.session.flush()
    body = {"admission": row.id, "method": row.method, "reason": said}
    log(unit, "sitting.declined", body, now, person_id=row.person_id)


def invigilate(unit: Unit, wanted: bool, now: datetime) -> None:
    """Have assessments opened by an instructor, or not: then they count for no record."""
    unit.viewer.must_be("administrator")
    place = people.organisation(unit, unit.viewer.organisation_id)
    if place.invigilated != wanted:
        place.invigilated = wanted
        log(unit, "organisation.invigilated", {"asked_for": wanted}, now)


def _undecided(unit: Unit, admission_id: str, now: datetime) -> AdmissionRow:
    row = admissions.one(unit, admission_id, to_change=True)
    if row.person_id == unit.viewer.person_id:
        raise Forbidden("You cannot open your own assessment. Ask another instructor.")
    if row.state == BEGUN or (row.state == OPENED and not lapsed(row, now)):
        raise InputProblem("It is open already", "identity", "They may begin.")
    if row.pending is None:
        raise InputProblem("They ask no longer", "identity", "Look at the list again.")
    return row


def _candidate(unit: Unit, row: AdmissionRow, name: str) -> Candidate:
    return Candidate(
        row.id,
        row.person_id,
        name,
        row.method,
        row.kind,
        row.state,
        row.asked_at,
        row.decided_at,
        people.person(unit, row.decided_by).name if row.decided_by else "",
        row.needs,
        row.person_id == unit.viewer.person_id,
    )
