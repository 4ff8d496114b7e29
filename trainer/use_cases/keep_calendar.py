"""A calendar of the days on which records end, under a secret address that can be ended."""

import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from trainer.core.knowledge.bank import Bank
from trainer.core.records.expiry_calendar import EndingDay, compose_calendar
from trainer.store import calendar_feeds, people, records
from trainer.store.calendar_feeds import MINE, PLACE, CalendarFeedRow
from trainer.store.statements import Found
from trainer.store.unit import Unit, Viewer
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.roles import ASKERS

__all__ = ["MINE", "PLACE", "end", "file", "listed", "make", "owner"]
ENDINGS = UUID("6b1f0f5e-6f0e-4c53-9d53-0a6f6a2f3b11")
"""Namespace of the events' ids, made once at random."""
WEIGHT = {"in_force": 0, "suspended": 1, "withdrawn": 2, "replaced": 2}
MOST = 5


@dataclass(frozen=True, slots=True)
class Feed:
    """An address that is open, as its makers see it. The secret itself is not known any more."""

    id: str
    made_by: str
    made_at: datetime


def make(unit: Unit, kind: str, now: datetime) -> str:
    """A new secret for a calendar: 'mine', or 'place' for the viewer's organisation.

    Only its hash is kept. Raises Forbidden, InputProblem.
    """
    _may(unit, kind)
    if len(calendar_feeds.open_ones(unit, kind)) >= MOST:
        raise InputProblem(f"There are {MOST} addresses already", "calendar", "End one first.")
    token = secrets.token_urlsafe()
    row = CalendarFeedRow(
        token_hash=_hashed(token),
        kind=kind,
        person_id=unit.viewer.person_id,
        organisation_id=unit.viewer.organisation_id or None,
        made_at=now,
    )
    calendar_feeds.keep(unit, row)
    log(unit, "calendar.made", {"feed": row.id, "kind": kind}, now, person_id=row.person_id)
    return token


def end(unit: Unit, kind: str, feed_id: str, now: datetime) -> None:
    """End an address: it gives nothing any more. Raises NotFound, Forbidden."""
    _may(unit, kind)
    row = next((one for one in calendar_feeds.open_ones(unit, kind) if one.id == feed_id), None)
    if row is None:
        raise NotFound
    row.ended_at = now
    log(unit, "calendar.ended", {"feed": row.id, "kind": kind}, now, person_id=row.person_id)


def listed(unit: Unit, kind: str) -> tuple[Feed, ...]:
    """The addresses that are open. Raises Forbidden."""
    _may(unit, kind)
    return tuple(
        Feed(row.id, people.person(unit, row.person_id).name, row.made_at)
        for row in calendar_feeds.open_ones(unit, kind)
    )


def owner(unit: Unit, token: str) -> tuple[str, Viewer]:
    """Which kind of calendar a secret opens, and as whom it is read. Raises NotFound.

    An organisation's ends with the right of whoever made it.
    """
    row = calendar_feeds.by_hash(unit, _hashed(token))
    if row is None or people.person(unit, row.person_id).disabled_at is not None:
        raise NotFound
    if row.kind == MINE:
        return row.kind, Viewer(row.person_id)
    place = row.organisation_id or ""
    belongs = people.membership(unit, row.person_id, place)
    if belongs is None or belongs.ended_at is not None or not set(belongs.roles) & set(ASKERS):
        raise NotFound
    return row.kind, Viewer(row.person_id, place, frozenset(belongs.roles))


def file(unit: Unit, bank: Bank, kind: str, address: str) -> bytes:
    """The calendar itself. `address`: the page that says more, for whoever signs in."""
    if kind == MINE:
        ids = [unit.viewer.person_id]
        name = "My records: when they end"
    else:
        ids = [one.id for one, _ in people.members(unit, "apprentice")]
        place = people.organisation(unit, unit.viewer.organisation_id).name
        name = f"{place}: when records end"
    groups: dict[tuple[str, str], list[Found]] = {}
    for row in records.held_by(unit, ids):
        groups.setdefault((row.person_id, row.method), []).append(row)
    events = [
        _event(bank, method, person_id, rows, kind, address)
        for (person_id, method), rows in groups.items()
    ]
    return compose_calendar(name, events)


def _event(
    bank: Bank,
    method: str,
    person_id: str,
    rows: Sequence[Found],
    kind: str,
    address: str,
) -> EndingDay:
    """One event for a person and method: renewing moves it, a stop cancels it."""
    named = bank.methods[method].name if method in bank.methods else method
    counting = [row for row in rows if row.state == "in_force"]
    latest = max(counting or rows, key=lambda row: (row.valid_until, row.issued_at))
    changes = [at for row in rows for at in (row.issued_at, row.state_since)]
    stop = max((r.state_since for r in rows if r.state in ("suspended", "withdrawn")), default=None)
    return EndingDay(
        uid=str(uuid5(ENDINGS, f"{person_id}:{method}")),
        summary=f"{named}: {'my' if kind == MINE else 'a'} completion record ends",
        note="Renew it before this day: sign in to see what is still needed.",
        address=address,
        on=latest.valid_until.date(),
        sequence=len(rows) - 1 + sum(WEIGHT[row.state] for row in rows),
        changed=max(changes),
        cancelled=not counting or (stop is not None and stop > latest.issued_at),
    )


def _may(unit: Unit, kind: str) -> None:
    if kind == PLACE:
        unit.viewer.must_be(*ASKERS)
    elif kind != MINE or not unit.viewer.person_id:
        raise NotFound


def _hashed(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()
