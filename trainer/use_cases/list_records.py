"""The records that an organisation's people hold, page by page, for other programs.

Those from elsewhere that the house keeps are among them, and say so.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time

from trainer.store import people, records
from trainer.store.records import RecordRow
from trainer.store.unit import Unit
from trainer.use_cases import list_outside_records
from trainer.use_cases.list_outside_records import Kept
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.see_records import whole_document


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What is known of a record from elsewhere.

    `accepted`: its issuer counts here; `counts_for`: for these services, while its status is known.
    `status`: 'unmarked' or 'marked' as its issuer's list said when it was last read, at
    `checked_at`; 'unknown' where it never was. `enough_until`: until when that look is enough here.
    """

    accepted: bool
    counts_for: Sequence[str]
    status: str
    checked_at: datetime | None
    enough_until: date | None


@dataclass(frozen=True, slots=True)
class Held:
    """One record and how it stands: 'in_force', 'expired', 'suspended', 'withdrawn', 'replaced'.

    One from elsewhere says the same only while it counts here; else 'marked', 'unchecked' (its
    status was not looked at lately) or 'not_counted'. It may lack a last day and a method ('').
    """

    id: str
    person_id: str
    holder: str
    method: str
    services: Sequence[str]
    issuer: str
    valid_from: datetime
    valid_until: datetime | None
    state: str
    since: datetime
    elsewhere: Elsewhere | None = None


@dataclass(frozen=True, slots=True)
class Records:
    """A page of records; `next` opens the one after it, None at the end."""

    records: Sequence[Held]
    next: str | None


def page(unit: Unit, after: str, count: int, now: datetime, status_days: int) -> Records:
    """Some of the records that members hold, from every issuer, by id. Raises Forbidden.

    `status_days`: for so many days a look at a status is enough for the site.
    """
    unit.viewer.must_be(*ASKERS)
    here = [_held(unit, row, now) for row in records.of_our_people(unit, after, count)]
    kept = list_outside_records.page(unit, after, count, status_days)
    elsewhere = [_from_elsewhere(row, now) for row in kept]
    found = sorted([*here, *elsewhere], key=lambda record: record.id)[:count]
    return Records(found, found[-1].id if len(found) == count else None)


def one(unit: Unit, record_id: str, now: datetime, status_days: int) -> Held:
    """One that a member holds, that the organisation issued or that it keeps.

    Raises NotFound, Forbidden.
    """
    unit.viewer.must_be(*ASKERS)
    try:
        return _held(unit, records.in_sight(unit, record_id), now)
    except NotFound:
        return _from_elsewhere(list_outside_records.one(unit, record_id, status_days), now)


def document(unit: Unit, record_id: str) -> str:
    """The signed record, as it was issued or given. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    try:
        row = records.in_sight(unit, record_id)
    except NotFound:
        return list_outside_records.document(unit, record_id)
    return whole_document(row)


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


def _from_elsewhere(kept: Kept, now: datetime) -> Held:
    until = datetime.combine(kept.valid_until, time.max, UTC) if kept.valid_until else None
    state, since = _state(kept, until, now)
    looked = kept.checked_at is not None
    return Held(
        kept.id,
        kept.person_id,
        kept.person,
        kept.method,
        kept.services,
        kept.issuer_named or kept.issuer,
        datetime.combine(kept.valid_from, time(), UTC),
        until,
        state,
        since,
        Elsewhere(
            bool(kept.issuer_named),
            [] if kept.why_not else kept.counts,
            "marked" if kept.state == "marked" else "unmarked" if looked else "unknown",
            kept.checked_at,
            kept.counts_until,
        ),
    )


def _state(kept: Kept, until: datetime | None, now: datetime) -> tuple[str, datetime]:
    if kept.state == "marked":
        return "marked", kept.state_since
    if until is not None and until < now:
        return "expired", until
    if kept.why_not:
        return "not_counted", kept.added_at
    if kept.counts_until is None:
        return "unchecked", kept.added_at
    if kept.counts_until < now.date():
        return "unchecked", datetime.combine(kept.counts_until, time.max, UTC)
    return "in_force", kept.state_since
