"""The records that an organisation's people hold, page by page, for other programs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.store import people, records
from trainer.store.records import RecordRow
from trainer.store.unit import Unit
from trainer.use_cases.clear_for_service import ASKERS
from trainer.use_cases.see_records import whole_document


@dataclass(frozen=True, slots=True)
class Held:
    """One record and how it stands: 'in_force', 'expired', 'suspended', 'withdrawn', 'replaced'."""

    id: str
    person_id: str
    holder: str
    method: str
    services: Sequence[str]
    issuer: str
    valid_from: datetime
    valid_until: datetime
    state: str
    since: datetime


@dataclass(frozen=True, slots=True)
class Records:
    """A page of records; `next` opens the one after it, None at the end."""

    records: Sequence[Held]
    next: str | None


def page(unit: Unit, after: str, count: int, now: datetime) -> Records:
    """Some of the records that members hold, from every issuer, by id. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    rows = records.of_our_people(unit, after, count)
    return Records([_held(unit, row, now) for row in rows], _next(rows, count))


def one(unit: Unit, record_id: str, now: datetime) -> Held:
    """One that a member holds or that the organisation issued. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return _held(unit, records.in_sight(unit, record_id), now)


def document(unit: Unit, record_id: str) -> str:
    """The signed record, as it was issued. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return whole_document(records.in_sight(unit, record_id))


def _next(rows: Sequence[RecordRow], count: int) -> str | None:
    return rows[-1].id if len(rows) == count else None


def _held(unit: Unit, row: RecordRow, now: datetime) -> Held:
    ended = row.state == "in_force" and row.valid_until < now
    return Held(
        row.id,
        row.person_id,
        people.person(unit, row.person_id).name,
        row.method,
        row.services,
        people.organisation(unit, row.organisation_id).name,
        row.valid_from,
        row.valid_until,
        "expired" if ended else row.state,
        row.valid_until if ended else row.state_since,
    )
