"""List the records from elsewhere that a house keeps: what each counts for here, and why not."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from trainer.store import accepted_issuers, outside_records, team
from trainer.store.accepted_issuers import AcceptedIssuerRow
from trainer.store.outside_records import OutsideRecordRow
from trainer.store.unit import Unit
from trainer.use_cases.outside_standing import Looks
from trainer.use_cases.roles import ASKERS

GONE = "Somebody who has left"


@dataclass(frozen=True)
class Kept:
    """One kept record as a list shows it.

    `issuer_named`: what the house calls its issuer, '' where it does not accept it. `state`:
    in_force or marked, since `state_since`. `counts`: the services it counts for, if its status is
    known; `why_not`: why it counts for nothing, in words, '' if it does. `counts_until`: until when
    the last look at its status is enough in this house, None for never; `look_lasts`: for so many
    days the next one will be.
    """

    id: str
    person_id: str
    person: str
    issuer: str
    issuer_named: str
    method: str
    services: Sequence[str]
    valid_from: date
    valid_until: date | None
    state: str
    state_since: datetime
    added_at: datetime
    checked_at: datetime | None
    counts_until: date | None
    look_lasts: int
    has_list: bool
    counts: Sequence[str]
    why_not: str


def listed(unit: Unit, status_days: int) -> Sequence[Kept]:
    """All that the viewer's organisation keeps, newest first. Raises Forbidden.

    `status_days`: for so many days a look at a status is enough for the site.
    """
    unit.viewer.must_be(*ASKERS)
    return _kept(unit, outside_records.of_place(unit), status_days)


def page(unit: Unit, after: str, count: int, status_days: int) -> Sequence[Kept]:
    """Some that members hold, by id, from behind an id on. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return _kept(unit, outside_records.of_our_people(unit, after, count), status_days)


def one(unit: Unit, record_id: str, status_days: int) -> Kept:
    """One that the viewer's organisation keeps. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return _kept(unit, [outside_records.record(unit, record_id)], status_days)[0]


def document(unit: Unit, record_id: str) -> str:
    """One as it was given. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    return outside_records.record(unit, record_id).document


def _kept(unit: Unit, rows: Sequence[OutsideRecordRow], status_days: int) -> Sequence[Kept]:
    accepted = {row.issuer: row for row in accepted_issuers.open_ones(unit)} if rows else {}
    names = team.names(unit, {row.person_id for row in rows})
    looks = Looks(unit)
    return [
        _shown(row, names.get(row.person_id, GONE), accepted.get(row.issuer), looks, status_days)
        for row in rows
    ]


def _shown(
    row: OutsideRecordRow,
    person: str,
    accepted: AcceptedIssuerRow | None,
    looks: Looks,
    status_days: int,
) -> Kept:
    counts = [
        service
        for service in row.services
        if accepted and row.method in accepted.methods and service in accepted.services
    ]
    return Kept(
        row.id,
        row.person_id,
        person,
        row.issuer,
        accepted.name if accepted else "",
        row.method,
        row.services,
        row.valid_from,
        row.valid_until,
        row.state,
        row.state_since,
        row.added_at,
        row.checked_at,
        looks.enough_until(row),
        looks.last(row, status_days),
        bool(row.lists),
        counts,
        _why_not(row, accepted, counts),
    )


def _why_not(
    row: OutsideRecordRow, accepted: AcceptedIssuerRow | None, counts: Sequence[str]
) -> str:
    if accepted is None:
        return "Its issuer is not accepted here, so it counts for nothing."
    if not row.method:
        return "It names no method by the words that are known here, so it counts for nothing."
    if not counts:
        return "Its issuer is not accepted for what it names."
    if row.valid_until is None:
        return "It has no last day, so it counts for nothing here."
    if not row.lists:
        return "It names no status list, so nobody can tell whether it still holds."
    return ""
