"""Append to the chained log, and check that it holds."""

import secrets
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from trainer.core.records.event_log import Entry, body_hash, breaks, link
from trainer.store import events
from trainer.store.unit import Unit


def log(
    unit: Unit,
    kind: str,
    body: Mapping[str, Any],
    now: datetime,
    *,
    person_id: str = "",
    organisation_id: str = "",
) -> int:
    """Append an event of a kind ('record.issued') about a person; gives back its number."""
    row, salt = events.last(unit), secrets.token_hex()
    at = now.astimezone(UTC).isoformat(timespec="seconds")
    entry = link(_entry(row) if row else None, kind, at, body_hash(salt, body))
    unit.session.add(_row(entry))
    unit.session.flush()
    unit.session.add(
        events.EventBodyRow(
            number=entry.number,
            organisation_id=organisation_id or unit.viewer.organisation_id,
            person_id=person_id,
            actor_id=unit.viewer.person_id,
            at=now,
            salt=salt,
            body=dict(body),
        )
    )
    unit.session.flush()
    return entry.number


def check_log(unit: Unit) -> tuple[int, list[str]]:
    """How many events there are, and where chain or bodies do not hold, in words."""
    entries = [_entry(row) for row in events.all_in_order(unit)]
    found = breaks(entries)
    sealed = {entry.number: entry.body_hash for entry in entries}
    for row in events.bodies(unit):
        if body_hash(row.salt, row.body) != sealed.get(row.number):
            found.append(f"what entry {row.number} says was changed")
    return len(entries), found


def _entry(row: events.EventRow) -> Entry:
    return Entry(row.number, row.kind, row.at, row.body_hash, row.before, row.hash)


def _row(entry: Entry) -> events.EventRow:
    return events.EventRow(
        number=entry.number,
        kind=entry.kind,
        at=entry.at,
        body_hash=entry.body_hash,
        before=entry.before,
        hash=entry.hash,
    )
