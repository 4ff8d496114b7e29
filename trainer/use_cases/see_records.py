"""Records as people see them: one's own with what is missing, and what an academy has issued."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.core.knowledge.bank import Bank
from trainer.core.problems import InputProblem, NotFound
from trainer.core.records.record import is_without_holder
from trainer.store import people, records, standings
from trainer.store.unit import Unit
from trainer.use_cases.certify import Needed, needed
from trainer.use_cases.roles import DECIDERS
from trainer.use_cases.withdraw import carries_name

PAGE = 50


@dataclass(frozen=True)
class Line:
    """One record in a list. `state` as kept; `word` as it stands today.

    `other_name`: it was issued under another name than its holder's present one.
    """

    id: str
    holder: str
    method: str
    services: Sequence[str]
    issuer: str
    valid_from: datetime
    valid_until: datetime
    state: str
    word: str
    reason: str
    other_name: bool = False


@dataclass(frozen=True)
class Mine:
    """My records, and the methods on the way to one."""

    records: Sequence[Line]
    ahead: Sequence[Needed]


@dataclass(frozen=True)
class Issued:
    """A page of what was issued; `after` opens the next one, '' at the end."""

    records: Sequence[Line]
    after: str


def mine(unit: Unit, bank: Bank, now: datetime) -> Mine:
    """The viewer's own records, and what is missing for the methods begun."""
    person_id = unit.viewer.person_id
    lines = [_line(unit, bank, row, now) for row in records.held(unit, person_id)]
    return Mine(lines, of_person(unit, bank, person_id, now))


def of_person(unit: Unit, bank: Bank, person_id: str, now: datetime) -> Sequence[Needed]:
    """What a record takes for each method that a person has begun, and how it stands.

    Methods whose record is not yet to be renewed are left out.
    """
    begun = {row.method for row in standings.of_people(unit, [person_id])}
    found = [
        needed(unit, bank, person_id, method, now) for method in bank.methods if method in begun
    ]
    return [one for one in found if not one.missing.still_held]


def one_mine(unit: Unit, bank: Bank, record_id: str, now: datetime) -> Line:
    """One of the viewer's own records. Raises NotFound."""
    row = records.record(unit, record_id)
    if row.person_id != unit.viewer.person_id:
        raise NotFound
    return _line(unit, bank, row, now)


def document(unit: Unit, record_id: str) -> str:
    """A record's file as it was issued. Raises NotFound, also where its holder was taken out."""
    return whole_document(records.record(unit, record_id))


def whole_document(row: records.RecordRow) -> str:
    """The file of a record that has its holder. Raises NotFound."""
    if is_without_holder(json.loads(row.document)):
        raise NotFound
    return row.document


def left(unit: Unit, bank: Bank, record_id: str, now: datetime) -> Line | None:
    """What stays of a record whose holder was taken out; None for any other. Raises NotFound."""
    row = records.record(unit, record_id)
    return _line(unit, bank, row, now) if is_without_holder(json.loads(row.document)) else None


def issued(unit: Unit, bank: Bank, after: str, now: datetime) -> Issued:
    """What the viewer's organisation issued, newest first, from a place on."""
    unit.viewer.must_be(*DECIDERS)
    rows = records.issued(unit, _place(unit, after), PAGE)
    more = rows[-1].id if len(rows) == PAGE else ""
    return Issued([_line(unit, bank, row, now) for row in rows], more)


def one_issued(unit: Unit, bank: Bank, record_id: str, now: datetime) -> Line:
    """One record that the viewer's organisation issued. Raises NotFound."""
    unit.viewer.must_be(*DECIDERS)
    row = records.record(unit, record_id)
    unit.viewer.must_see(row.organisation_id)
    return _line(unit, bank, row, now)


def _place(unit: Unit, after: str) -> tuple[datetime, str] | None:
    if not after:
        return None
    try:
        row = records.record(unit, after)
        unit.viewer.must_see(row.organisation_id)
    except NotFound:
        raise InputProblem("This list has no such place", "after", "Start from its top.") from None
    return row.issued_at, row.id


def _line(unit: Unit, bank: Bank, row: records.RecordRow, now: datetime) -> Line:
    method = bank.methods.get(row.method)
    ended = row.state == "in_force" and row.valid_until < now
    name = people.person(unit, row.person_id).name
    return Line(
        row.id,
        name,
        method.name if method else row.method,
        row.services,
        people.organisation(unit, row.organisation_id).name,
        row.valid_from,
        row.valid_until,
        row.state,
        "expired" if ended else row.state,
        row.state_reason,
        row.state == "in_force" and not ended and not carries_name(row, name),
    )
