"""Append to the chained log, check that it holds, and give it out."""

import secrets
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from trainer.core.problems import InputProblem
from trainer.core.records.event_log import (
    ERASED,
    START,
    Entry,
    Said,
    body_hash,
    breaks,
    link,
    wrong_words,
)
from trainer.core.records.log_head import Head, Seal, cuts
from trainer.store import events
from trainer.store.unit import Unit
from trainer.use_cases.seal_log import LogSeal


@dataclass(frozen=True)
class Checked:
    """How many events there are, where the log does not hold, and what else is to be known."""

    events: int
    breaks: Sequence[str]
    notes: Sequence[str]


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
    return log_each(unit, kind, [(person_id, body)], now, organisation_id=organisation_id)


def log_each(
    unit: Unit,
    kind: str,
    told: Sequence[tuple[str, Mapping[str, Any]]],
    now: datetime,
    *,
    organisation_id: str = "",
) -> int:
    """Append events of one kind about several people (id, body); gives back the last number."""
    row = events.last(unit)
    if unit.log_began is None:
        unit.log_began = (row.number, row.hash) if row else (0, START)
    at = now.astimezone(UTC).isoformat(timespec="seconds")
    last = _entry(row) if row else None
    entries, besides = [], []
    for person_id, body in told:
        beside = events.EventBodyRow(
            number=last.number + 1 if last else 1,
            organisation_id=organisation_id or unit.viewer.organisation_id,
            person_id=person_id,
            actor_id=unit.viewer.person_id,
            at=now,
            salt=secrets.token_hex(),
            body=dict(body),
        )
        last = link(last, kind, at, body_hash(_said(beside)))
        entries.append(_row(last))
        besides.append(beside)
    for rows in (entries, besides):
        unit.session.add_all(rows)
        unit.session.flush()
    return last.number if last else 0


def erase(unit: Unit, numbers: Sequence[int], reason: str, now: datetime) -> None:
    """Erase what some events say, and log that; the chain stays whole."""
    events.erase(unit, numbers)
    log(unit, ERASED, {"entries": sorted(numbers), "reason": reason}, now)


def check_log(unit: Unit) -> tuple[int, list[str]]:
    """How many events there are, and where chain or bodies do not hold, in words."""
    entries = [_entry(row) for row in events.all_in_order(unit)]
    said = (_said(row) for row in events.bodies(unit))
    return len(entries), breaks(entries) + wrong_words(entries, said)


def check_sealed(unit: Unit, seal: LogSeal) -> Checked:
    """Check chain and bodies, and hold the log against its signed head.

    `unit` comes from `Work.snapshot` and has not looked at anything yet: the head and what it sees
    are then of one moment, and whoever appends waits for that moment alone.
    """
    with seal.alone():
        events.end(unit)
        sealed = _read(seal)
    count, found = check_log(unit)
    if isinstance(sealed, InputProblem):
        return Checked(count, [*found, f"{sealed.where}: {sealed.what}"], [])
    if sealed is None:
        missing = "the signed head is missing; it is written with the next event"
        return Checked(count, [*found, missing] if count else found, [])
    hash_at = {row.number: row.hash for row in events.all_in_order(unit)}
    last = max(hash_at, default=0)
    end = Head(last, hash_at[last]) if last else Head()
    notes = []
    if sealed.began:
        notes.append(f"sealing began after entry {sealed.began}")
    if sealed.coming is not None:
        notes.append("the site stopped while an event was being written; the next one settles it")
    return Checked(count, found + cuts(sealed, end, hash_at), notes)


def _read(seal: LogSeal) -> Seal | InputProblem | None:
    try:
        return seal.read()
    except InputProblem as problem:
        return problem


def exported(unit: Unit) -> Iterator[dict[str, Any]]:
    """Every event in order with its hashes; `said` is null where it was erased."""
    beside = {row.number: row for row in events.bodies(unit)}
    for row in events.all_in_order(unit):
        said = _said(beside[row.number]) if row.number in beside else None
        yield {
            "number": row.number,
            "kind": row.kind,
            "at": row.at,
            "said": {**said.about, "salt": said.salt, "body": dict(said.body)} if said else None,
            "body_hash": row.body_hash,
            "before": row.before,
            "hash": row.hash,
        }


def _said(row: events.EventBodyRow) -> Said:
    about = {
        "organisation": row.organisation_id,
        "person": row.person_id,
        "actor": row.actor_id,
        "moment": row.at.astimezone(UTC).isoformat(),
    }
    return Said(row.number, row.salt, row.body, about)


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
