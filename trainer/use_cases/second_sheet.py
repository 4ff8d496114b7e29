"""The second observer's sheet of the same work, filled in without the first one's ticks."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from trainer.store import observations, people
from trainer.store.observations import ObservationRow
from trainer.store.unit import Unit
from trainer.use_cases.refusals import Forbidden, NotFound


@dataclass(frozen=True, slots=True)
class Work:
    """What is watched a second time. `id`: of the first sheet, of which nothing more is told."""

    id: str
    person_id: str
    method: str
    service: str
    first_observer: str
    observed_at: datetime


def work_to_second(unit: Unit, observation_id: str, submission_id: str = "") -> Work:
    """The work of a sheet that waits for its second, for another instructor than who signed it.

    Also when this very submission has come before. Raises NotFound, Forbidden.
    """
    row = first_of(unit, observation_id, submission_id)
    if row is None:
        raise NotFound
    name = people.person(unit, row.observer_id).name
    return Work(row.id, row.person_id, row.method, row.service, name, row.observed_at)


def first_of(unit: Unit, observation_id: str, submission_id: str) -> ObservationRow | None:
    """The first sheet of a work; None where none is named. Raises as `work_to_second`."""
    if not observation_id:
        return None
    unit.viewer.must_be("instructor")
    work = observations.watching_of(unit, observation_id)
    unit.viewer.must_see(work.first.organisation_id)
    if work.first.observer_id == unit.viewer.person_id:
        raise Forbidden("You signed the first sheet. The second is for somebody else.")
    before = observations.of_submission(unit, submission_id) if submission_id else None
    came = before is not None and before.second_of == work.first.id
    if observation_id != work.first.id or not (work.waits or came):
        raise NotFound
    return work.first


def as_second(unit: Unit, first: ObservationRow | None) -> dict[str, Any]:
    """What makes a sheet the second of its work; or, of a first one, whether it asks for one."""
    if first is not None:
        return {"second_of": first.id, "observed_at": first.observed_at, "asks_second": False}
    place = people.organisation(unit, unit.viewer.organisation_id)
    return {"second_of": None, "asks_second": place.second_observer}
