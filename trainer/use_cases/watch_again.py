"""Set a signed sheet aside after an appeal, and ask for the work to be watched by somebody else.

A sheet that said 'competent' is not set aside: a record that rests on it is suspended or withdrawn.
Whoever signed one that is set aside does not watch the same service until another has.
"""

from dataclasses import dataclass
from datetime import datetime

from trainer.core.records.independence import why_not
from trainer.store import observations, people
from trainer.store.observations import ObservationRow, Watching
from trainer.store.unit import Unit
from trainer.use_cases.examiners import examiners_of
from trainer.use_cases.keep_log import log
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden, InputProblem
from trainer.use_cases.roles import DECIDERS

REASON = Letters(20, 1000)
MOST = 50
YOURS = (
    "Your sheet of this service was set aside after an appeal, so another instructor watches it "
    "next. Tell a colleague."
)


@dataclass(frozen=True, slots=True)
class ToWatch:
    """A service to be watched again. `mine`: the viewer cannot be the one who watches."""

    person_id: str
    name: str
    method: str
    service: str
    observation_id: str
    mine: bool


def may_set_aside(unit: Unit, person_id: str, method: str) -> tuple[Watching, ...]:
    """Work of a person here whose latest sheet says 'not yet', if the viewer took no part in it."""
    if why_not(unit.viewer.person_id, person_id, examiners_of(unit, person_id, method)):
        return ()
    return tuple(
        one
        for one in observations.latest_watching(unit, person_id, method).values()
        if one.first.organisation_id == unit.viewer.organisation_id
        and not (one.met or one.waits or one.set_aside)
    )


def set_aside(unit: Unit, observation_id: str, reason: str, now: datetime) -> None:
    """Set a sheet aside, for good, and the other observer's with it.

    Raises NotFound, Forbidden, InputProblem naming the field.
    """
    unit.viewer.must_be(*DECIDERS)
    work = observations.watching_of(unit, observation_id)
    row = work.first
    unit.viewer.must_see(row.organisation_id)
    examiners = examiners_of(unit, row.person_id, row.method)
    refused = why_not(unit.viewer.person_id, row.person_id, examiners)
    if refused:
        raise Forbidden(refused)
    there = may_set_aside(unit, row.person_id, row.method)
    if row.id not in [one.first.id for one in there]:
        raise InputProblem("This sheet no longer decides", "reason", "Read the latest one.")
    said = REASON.read(reason, "reason", "Say what was wrong with it")
    for one in filter(None, (row, work.second)):
        one.set_aside_at, one.set_aside_why = now, said
    unit.session.flush()
    body = {"observation": row.id, "method": row.method, "service": row.service, "reason": said}
    log(unit, "observation.set_aside", body, now, person_id=row.person_id)


def waiting(unit: Unit) -> tuple[ToWatch, ...]:
    """What is to be watched again in the viewer's organisation, longest first."""
    unit.viewer.must_be("instructor")
    rows = observations.to_watch_again(unit, MOST)
    names = {one.id: one.name for one in people.named(unit, [row.person_id for row in rows], ())}
    return tuple(_to_watch(unit, row, names[row.person_id]) for row in rows)


def refused(unit: Unit, person_id: str, method: str, service: str) -> str:
    """Why the viewer may not watch a service now, '' if they may."""
    barred: set[str] = set()
    for one in observations.watchings(unit, person_id, method):
        if one.first.service != service or one.waits:
            continue
        barred = barred | one.observers if one.set_aside else set()
    return YOURS if unit.viewer.person_id in barred else ""


def _to_watch(unit: Unit, row: ObservationRow, name: str) -> ToWatch:
    return ToWatch(
        row.person_id,
        name,
        row.method,
        row.service,
        row.id,
        row.person_id == unit.viewer.person_id
        or bool(refused(unit, row.person_id, row.method, row.service)),
    )
