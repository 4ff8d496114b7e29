"""What is made easier for somebody in assessments, kept for the next time by an instructor."""

from dataclasses import asdict
from datetime import datetime
from typing import Protocol

from trainer.core.marking.accommodation import NONE_NEEDED, Accommodation, SittingClock, checked
from trainer.store import people, sittings
from trainer.store.sittings import SittingRow
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.roles import DECIDERS


class Granted(Protocol):
    """A row that holds what was granted."""

    extra_percent: int
    pauses: int
    pause_minutes: int
    larger_type: bool


def standing(unit: Unit, person_id: str) -> Accommodation:
    """What the viewer's organisation grants a person until it says otherwise."""
    row = sittings.allowance(unit, person_id)
    if row is None:
        return NONE_NEEDED
    return Accommodation(row.percent, row.pauses, row.pause_minutes, row.larger_type)


def granted_in(row: Granted) -> Accommodation:
    """What a row grants."""
    return Accommodation(row.extra_percent, row.pauses, row.pause_minutes, row.larger_type)


def grant_in(row: Granted, granted: Accommodation) -> None:
    """Write into a row what it grants."""
    row.extra_percent, row.larger_type = granted.extra_percent, granted.larger_type
    row.pauses, row.pause_minutes = granted.pauses, granted.pause_minutes


def see(unit: Unit, person_id: str) -> tuple[str, Accommodation]:
    """A member's name, and what was granted so far. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*DECIDERS)
    person, _ = people.member(unit, person_id)
    return person.name, standing(unit, person_id)


def grant(unit: Unit, person_id: str, asked: Accommodation, now: datetime) -> None:
    """Grant it to a member in sittings opened from now on.

    Raises NotFound, Forbidden, InputProblem naming the field.
    """
    see(unit, person_id)
    given = asdict(checked(asked))
    sittings.allow(unit, person_id, now, {"percent": given["extra_percent"]} | _rest(given))
    log(unit, "accommodation.granted", given, now, person_id=person_id)


def clock_of(row: SittingRow | Found) -> SittingClock:
    """The clock of a sitting, from its row or one of its items'."""
    return SittingClock(
        row.closes_at, row.pauses, row.pause_minutes, row.pauses_taken, row.paused_at
    )


def _rest(given: dict[str, int | bool]) -> dict[str, int | bool]:
    return {name: value for name, value in given.items() if name != "extra_percent"}
