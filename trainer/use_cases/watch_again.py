"""Set a signed sheet aside after an appeal, and ask for the work to be watched by somebody else.

With a sheet that said 'competent' goes what rests on it: a record of this house is suspended, and
no other can come of the same work. Whoever signed a sheet that is set aside does not watch the same
service until another has.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from trainer.core.records.independence import why_not
from trainer.store import observations, people, records, team_summaries
from trainer.store.observations import ObservationRow, Watching
from trainer.store.unit import Unit
from trainer.use_cases import withdraw
from trainer.use_cases.evidence import gather
from trainer.use_cases.examiners import examiners_of
from trainer.use_cases.keep_log import log
from trainer.use_cases.keep_standing import refresh
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden, InputProblem
from trainer.use_cases.roles import DECIDERS

REASON = Letters(20, 1000)
MOST = 50
What = tuple[str, str, str]
"""Person, method, service."""
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
    """Work of a person here by its latest sheets, if the viewer took no part in it."""
    if why_not(unit.viewer.person_id, person_id, examiners_of(unit, person_id, method)):
        return ()
    return tuple(
        one
        for one in observations.latest_watching(unit, person_id, method).values()
        if one.first.organisation_id == unit.viewer.organisation_id
        and not (one.waits or one.set_aside)
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
    if work.said_met:
        _stop_what_rests(unit, work, said, now)


def _stop_what_rests(unit: Unit, work: Watching, reason: str, now: datetime) -> None:
    """Suspend this house's records that rest on work; bring its person's standing up to date."""
    sheet = work.first
    for row in records.held(unit, sheet.person_id, sheet.method):
        ours = row.organisation_id == sheet.organisation_id and row.state == "in_force"
        if ours and withdraw.rests_on(row, work):
            withdraw.suspend(unit, row.id, withdraw.REASON.cut(reason), now)
    records.alone(unit, sheet.person_id)
    evidence = gather(unit, sheet.person_id, sheet.method)
    refresh(unit, evidence, sheet.person_id, sheet.method, now)
    team_summaries.forget_about(unit, sheet.person_id)


def waiting(unit: Unit) -> tuple[ToWatch, ...]:
    """What is to be watched again in the viewer's organisation, longest first."""
    unit.viewer.must_be("instructor")
    rows = observations.to_watch_again(unit, MOST)
    ids = {row.person_id for row in rows}
    names = {one.id: one.name for one in people.named(unit, ids, ())}
    barred = _barred(observations.watchings_of_each(unit, ids))
    viewer = unit.viewer.person_id
    return tuple(
        ToWatch(
            row.person_id,
            names[row.person_id],
            row.method,
            row.service,
            row.id,
            viewer == row.person_id or viewer in barred.get(_what(row), ()),
        )
        for row in rows
    )


def refused(unit: Unit, person_id: str, method: str, service: str) -> str:
    """Why the viewer may not watch a service now, '' if they may."""
    barred = _barred(observations.watchings(unit, person_id, method))
    here = barred.get((person_id, method, service), ())
    return YOURS if unit.viewer.person_id in here else ""


def _barred(works: Iterable[Watching]) -> dict[What, frozenset[str]]:
    """Whose sheets of a service were set aside since anybody else has watched it.

    `works`: oldest first.
    """
    found: dict[What, frozenset[str]] = {}
    for one in works:
        if not one.waits:
            before = found.get(_what(one.first), frozenset())
            found[_what(one.first)] = before | one.observers if one.set_aside else frozenset()
    return found


def _what(row: ObservationRow) -> What:
    return row.person_id, row.method, row.service
