"""Two observers of the same work: whether they are asked for, what waits, how far they agree."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from trainer.core.measurement.two_observers import Agreement, agreement
from trainer.store import observations, people
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.roles import REVIEWERS

MOST_WAITING = 50


@dataclass(frozen=True, slots=True)
class WaitingSheet:
    """Work whose second sheet is still to come. What the first observer ticked is not told."""

    id: str
    person_id: str
    name: str
    method: str
    service: str
    first_observer: str
    observed_at: datetime
    mine: bool


@dataclass(frozen=True, slots=True)
class Together:
    """`asked_for`: new sheets need a second one. `works`: how many were watched by two."""

    asked_for: bool
    waiting: tuple[WaitingSheet, ...]
    works: int
    agreement: Agreement


def overview(unit: Unit) -> Together:
    """How two observers work together in the viewer's organisation. Raises Forbidden."""
    unit.viewer.must_be(*REVIEWERS)
    place = people.organisation(unit, unit.viewer.organisation_id)
    counted, works = _counted(unit)
    return Together(place.second_observer, waiting(unit), works, counted)


def waiting(unit: Unit) -> tuple[WaitingSheet, ...]:
    """Work that waits for its second observer, longest first. `mine`: the viewer cannot be it."""
    rows = observations.awaiting_second(unit, MOST_WAITING)
    viewer = unit.viewer.person_id
    return tuple(
        WaitingSheet(
            row.id,
            row.person_id,
            people.person(unit, row.person_id).name,
            row.method,
            row.service,
            people.person(unit, row.observer_id).name,
            row.observed_at,
            viewer in (row.observer_id, row.person_id),
        )
        for row in rows
    )


def ask_for_two(unit: Unit, wanted: bool, now: datetime) -> None:
    """Ask for a second observer from now on, or no longer; administrators.

    Sheets signed before keep the rule under which they were signed.
    """
    unit.viewer.must_be("administrator")
    place = people.organisation(unit, unit.viewer.organisation_id)
    if place.second_observer != wanted:
        place.second_observer = wanted
        log(unit, "organisation.second_observer", {"asked_for": wanted}, now)


def _counted(unit: Unit) -> tuple[Agreement, int]:
    """Over every criterion that stands on both sheets of a work."""
    cells: Counter[tuple[bool, bool]] = Counter()
    found = observations.pairs(unit)
    for first, second in found:
        for name in first.ticks.keys() & second.ticks.keys():
            cells[bool(first.ticks[name]["met"]), bool(second.ticks[name]["met"])] += 1
    counted = agreement(
        cells[True, True], cells[True, False], cells[False, True], cells[False, False]
    )
    return counted, len(found)
