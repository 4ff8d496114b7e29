"""Accept a service on other evidence than a sheet of our own: one asks, another decides.

The only way round a missing sign-off. Who decides took no part: they did not ask, did not watch
that person's work with the method, and it is not their own. Both reasons are kept and logged.
"""

from dataclasses import dataclass
from datetime import datetime

from trainer.core.knowledge.bank import Bank
from trainer.core.records.independence import why_not
from trainer.store import acceptances, people
from trainer.store.acceptances import AcceptanceRow
from trainer.store.unit import Unit
from trainer.use_cases.certify import Issuing, consider
from trainer.use_cases.examiners import examiners_of
from trainer.use_cases.keep_log import log
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.roles import DECIDERS
from trainer.use_cases.sign_in import Proven

REASON = Letters(20, 1000)
ASK = "Say in a sentence or two what you have seen"
LATEST = 20


@dataclass(frozen=True, slots=True)
class Request:
    """One request as a list shows it. `refused`: why the viewer may not decide, '' if they may."""

    id: str
    person_id: str
    name: str
    method: str
    service: str
    reason: str
    asked_by: str
    asked_at: datetime
    agreed: bool | None
    decided_by: str
    decided_at: datetime | None
    decided_why: str
    refused: str


def ask(
    unit: Unit, bank: Bank, person_id: str, method: str, service: str, reason: str, now: datetime
) -> str:
    """Ask that a service counts for an apprentice of the viewer's organisation; gives the id.

    Raises NotFound, Forbidden, InputProblem naming the field.
    """
    unit.viewer.must_be(*DECIDERS)
    _, belongs = people.member(unit, person_id)
    if "apprentice" not in belongs.roles or method not in bank.methods:
        raise NotFound
    if service not in bank.methods[method].scheme.observed:
        raise InputProblem("A record does not take this", "service", "Choose of the list.")
    if person_id == unit.viewer.person_id:
        raise Forbidden("You cannot ask this for yourself.")
    said = REASON.read(reason, "reason", ASK)
    waiting = [one for one in acceptances.undecided(unit) if one.person_id == person_id]
    if any((one.method, one.service) == (method, service) for one in waiting):
        raise InputProblem("This is asked already", "service", "It waits for a decision.")
    row = AcceptanceRow(
        person_id=person_id,
        organisation_id=unit.viewer.organisation_id,
        method=method,
        service=service,
        reason=said,
        asked_by=unit.viewer.person_id,
        asked_at=now,
    )
    acceptances.keep(unit, row)
    _log(unit, "override.asked", row, said, now)
    return row.id


def decide(
    unit: Unit,
    bank: Bank,
    proven: Proven,
    acceptance_id: str,
    agreed: bool,
    reason: str,
    issuing: Issuing,
    now: datetime,
) -> str | None:
    """Decide a request; gives the id of the record that it brings, if it does.

    Raises NotFound, Forbidden, InputProblem naming the field.
    """
    unit.viewer.must_be(*DECIDERS)
    if proven.person_id != unit.viewer.person_id:
        raise Forbidden("Type your own password to decide.")
    row = acceptances.acceptance(unit, acceptance_id)
    refused = _refused(unit, row)
    if refused:
        raise Forbidden(refused)
    if row.decided_at is not None:
        raise InputProblem("This is decided already", "decision", "Look at the list again.")
    row.agreed, row.decided_by, row.decided_at = agreed, unit.viewer.person_id, now
    row.decided_why = REASON.read(reason, "reason", ASK)
    unit.session.flush()
    _log(unit, "override.agreed" if agreed else "override.refused", row, row.decided_why, now)
    if not agreed:
        return None
    return consider(unit, bank, row.person_id, row.organisation_id, row.method, issuing, now)


def undecided(unit: Unit) -> tuple[Request, ...]:
    """What waits for a decision in the viewer's organisation."""
    unit.viewer.must_be(*DECIDERS)
    return tuple(_request(unit, row) for row in acceptances.undecided(unit))


def decided(unit: Unit) -> tuple[Request, ...]:
    """What was decided last in the viewer's organisation."""
    unit.viewer.must_be(*DECIDERS)
    return tuple(_request(unit, row) for row in acceptances.decided(unit, LATEST))


def one(unit: Unit, acceptance_id: str) -> Request:
    """One request. Raises NotFound."""
    unit.viewer.must_be(*DECIDERS)
    return _request(unit, acceptances.acceptance(unit, acceptance_id))


def _refused(unit: Unit, row: AcceptanceRow) -> str:
    examiners = examiners_of(unit, row.person_id, row.method)
    return why_not(unit.viewer.person_id, row.person_id, examiners, row.asked_by)


def _request(unit: Unit, row: AcceptanceRow) -> Request:
    return Request(
        row.id,
        row.person_id,
        people.person(unit, row.person_id).name,
        row.method,
        row.service,
        row.reason,
        people.person(unit, row.asked_by).name,
        row.asked_at,
        row.agreed,
        people.person(unit, row.decided_by).name if row.decided_by else "",
        row.decided_at,
        row.decided_why,
        _refused(unit, row),
    )


def _log(unit: Unit, kind: str, row: AcceptanceRow, reason: str, now: datetime) -> None:
    body = {"request": row.id, "method": row.method, "service": row.service, "reason": reason}
    log(unit, kind, body, now, person_id=row.person_id)
