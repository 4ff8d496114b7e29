"""Records that end soon or have just ended, and what to do: for learner, instructor and salon."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from trainer.core.knowledge.bank import Bank
from trainer.store import people, records
from trainer.store.records import RecordRow
from trainer.store.unit import Unit
from trainer.use_cases.certify import Needed, needed
from trainer.use_cases.roles import ASKERS


@dataclass(frozen=True, slots=True)
class Ending:
    """One person's record for a method. `days` to its last day, below 0 once it has ended."""

    person_id: str
    name: str
    on: date
    days: int
    needed: Needed


def mine(unit: Unit, bank: Bank, window: int, now: datetime) -> tuple[Ending, ...]:
    """The viewer's own records that end within `window` days, or ended that long ago at most."""
    person_id = unit.viewer.person_id
    return _endings(unit, bank, {person_id: people.person(unit, person_id).name}, window, now)


def of_place(unit: Unit, bank: Bank, window: int, now: datetime) -> tuple[Ending, ...]:
    """The same for everybody who works or trains in the viewer's organisation, first end first."""
    unit.viewer.must_be(*ASKERS)
    names = {one.id: one.name for one, _ in people.members(unit, "apprentice")}
    return _endings(unit, bank, names, window, now)


def days_of_place(unit: Unit, bank: Bank, window: int, now: datetime) -> Sequence[date]:
    """Their days alone, first end first: for a house of thousands, what each needs takes long."""
    unit.viewer.must_be(*ASKERS)
    ids = [one.id for one, _ in people.members(unit, "apprentice")]
    return [on for on, _, _ in _ends(unit, bank, ids, window, now)]


def last_of_each(rows: Sequence[RecordRow]) -> Mapping[tuple[str, str], RecordRow]:
    """(person, method) -> the record that counts: in force and lasting longest.

    None for whom the last word is a suspension or a withdrawal.
    """
    found: dict[tuple[str, str], RecordRow] = {}
    stopped: dict[tuple[str, str], datetime] = {}
    for row in rows:
        key = row.person_id, row.method
        if row.state == "in_force":
            if key not in found or row.valid_until > found[key].valid_until:
                found[key] = row
        elif row.state != "replaced":
            stopped[key] = max(stopped.get(key, row.state_since), row.state_since)
    return {
        key: row for key, row in found.items() if key not in stopped or row.issued_at > stopped[key]
    }


def _endings(
    unit: Unit, bank: Bank, names: Mapping[str, str], window: int, now: datetime
) -> tuple[Ending, ...]:
    return tuple(
        Ending(
            person_id,
            names[person_id],
            on,
            (on - now.date()).days,
            needed(unit, bank, person_id, method, now),
        )
        for on, person_id, method in _ends(unit, bank, names, window, now)
    )


def _ends(
    unit: Unit, bank: Bank, person_ids: Iterable[str], window: int, now: datetime
) -> list[tuple[date, str, str]]:
    """(last day, person, method) of what ends, or has ended, within so many days; in order."""
    day, reach = now.date(), timedelta(days=window)
    return sorted(
        (row.valid_until.date(), person_id, method)
        for (person_id, method), row in last_of_each(records.held_by(unit, person_ids)).items()
        if method in bank.methods and day - reach <= row.valid_until.date() <= day + reach
    )
