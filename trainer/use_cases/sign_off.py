"""Sign off work watched at the chair: the sheet, the signature, and what it comes to."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.criterion import Criterion
from trainer.core.knowledge.words import OBSERVED_SERVICES
from trainer.core.marking.observation import Outcome, outcome
from trainer.core.marking.photo import Photo
from trainer.core.marking.way_back import WayBack, way_back
from trainer.store import observations, people
from trainer.store.base import new_id
from trainer.store.observations import ObservationRow
from trainer.store.unit import Unit
from trainer.use_cases import keep_photos, second_sheet, watch_again
from trainer.use_cases.certify import Issuing, consider
from trainer.use_cases.keep_log import log
from trainer.use_cases.keep_photos import Album, Shot
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.sign_in import Proven

LONGEST_NOTES = 2000
SHORTEST_STEP = 10
OLDEST = timedelta(days=14)
MIDDAY = time(12, tzinfo=UTC)
LATEST, MINE = 10, 50


@dataclass(frozen=True, slots=True)
class Sheet:
    """What to watch: one service of one method, for one person. Critical criteria first."""

    person_id: str
    name: str
    method: str
    service: str
    criteria: tuple[Criterion, ...]


@dataclass(frozen=True, slots=True)
class Watched:
    """What was seen, as the observer hands it in. `met`: ids of the criteria ticked.

    `next_step`: what to do next, needed where the service is not met. `second_of`: the first
    observer's sheet of the same work, where this is the second's.
    """

    person_id: str
    method: str
    service: str
    met: Collection[str]
    notes: str
    on: date
    submission_id: str = ""
    next_step: str = ""
    second_of: str = ""


@dataclass(frozen=True, slots=True)
class Signing:
    """What signing goes by: the share of the other criteria, the terms of records, the folder."""

    share: float
    issuing: Issuing
    album: Album


@dataclass(frozen=True, slots=True)
class Signed:
    """A signed observation. `record_id`: the completion record that it brought, if it did.

    `waits`: it counts only with a second observer's sheet, which is still to come.
    """

    id: str
    outcome: Outcome
    record_id: str | None
    waits: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One observation in a list.

    `waits`: a second observer's sheet is still to come. `is_second`: it is that sheet itself.
    `set_aside`: why it counts for nothing, '' if it does.
    """

    id: str
    person_id: str
    name: str
    observer: str
    method: str
    service: str
    observed_at: datetime
    met: bool
    waits: bool = False
    is_second: bool = False
    set_aside: str = ""


@dataclass(frozen=True, slots=True)
class Seen:
    """One observation as it was signed. `lines`: dicts of text, critical, met.

    `ways`: for each missed criterion, where to read and what to practise. `other`: the sheet of
    the other observer of the same work, if there is one; `counts`: the service is signed off.
    """

    line: Line
    lines: tuple[dict[str, Any], ...]
    notes: str
    signed_at: datetime
    next_step: str
    ways: tuple[WayBack, ...]
    shots: tuple[Shot, ...]
    other: Line | None
    counts: bool


def services_to_watch(bank: Bank, method: str) -> tuple[str, ...]:
    """The services of a method that are signed off and have criteria."""
    return tuple(one for one in OBSERVED_SERVICES if bank.criteria_of(method, one))


def sheet(unit: Unit, bank: Bank, person_id: str, method: str, service: str) -> Sheet:
    """The criteria for one apprentice of the viewer's organisation. Raises NotFound, Forbidden."""
    unit.viewer.must_be("instructor")
    row, belongs = people.member(unit, person_id)
    if "apprentice" not in belongs.roles or method not in bank.methods:
        raise NotFound
    if service not in services_to_watch(bank, method):
        raise NotFound
    if person_id == unit.viewer.person_id:
        raise Forbidden("You cannot sign off your own work. Ask another instructor.")
    refused = watch_again.refused(unit, person_id, method, service)
    if refused:
        raise Forbidden(refused)
    criteria = sorted(bank.criteria_of(method, service), key=lambda one: not one.critical)
    return Sheet(person_id, row.name, method, service, tuple(criteria))


def others_needed(asked: Sheet, share: float) -> int:
    """How many of the criteria that are not critical must be met."""
    return outcome(asked.criteria, (), share).others_needed


def sign(
    unit: Unit,
    bank: Bank,
    watched: Watched,
    proven: Proven,
    signing: Signing,
    now: datetime,
    photos: Sequence[Photo] = (),
) -> Signed:
    """Keep what was watched under the viewer's name; the same submission is kept once.

    A record that is now earned is issued. Raises NotFound, Forbidden, InputProblem naming the
    field.
    """
    if proven.person_id != unit.viewer.person_id:
        raise Forbidden("Type your own password to sign.")
    asked = sheet(unit, bank, watched.person_id, watched.method, watched.service)
    first = second_sheet.first_of(unit, watched.second_of, watched.submission_id)
    _check(watched, first, now)
    found = outcome(asked.criteria, watched.met, signing.share)
    _check_next_step(watched, found)
    values = _values(unit, bank, asked, watched, found, now) | second_sheet.as_second(unit, first)
    row, is_new = observations.keep_once(unit, values)
    waits = row.asks_second
    if not is_new:
        return Signed(row.id, found, None, waits)
    _log(unit, row, now)
    keep_photos.keep(unit, signing.album, row.id, photos, now)
    place, method = unit.viewer.organisation_id, watched.method
    record_id = consider(unit, bank, watched.person_id, place, method, signing.issuing, now)
    return Signed(row.id, found, record_id, waits)


def see(unit: Unit, bank: Bank, observation_id: str) -> Seen:
    """One observation, for instructors of its organisation and for whom it is about.

    While it waits for a second observer's sheet, other instructors do not see it: they may be the
    one who is to watch without knowing what the first ticked. Raises NotFound, Forbidden.
    """
    work = observations.watching_of(unit, observation_id)
    row = work.first if observation_id == work.first.id else work.second
    if row is None:
        raise NotFound
    if row.person_id != unit.viewer.person_id:
        unit.viewer.must_be("instructor")
        if work.waits and row.observer_id != unit.viewer.person_id:
            raise Forbidden("This sheet stays closed until the second observer has signed.")
    other = work.second if row is work.first else work.first
    return Seen(
        _line(unit, row),
        tuple(row.ticks.values()),
        row.notes,
        row.signed_at,
        row.next_step,
        _ways(bank, row),
        keep_photos.shots(unit, row.id),
        _line(unit, other) if other else None,
        work.met,
    )


def latest(unit: Unit) -> list[Line]:
    """What was signed last in the viewer's organisation."""
    unit.viewer.must_be("instructor")
    return [_line(unit, row) for row in observations.latest(unit, LATEST)]


def mine(unit: Unit) -> list[Line]:
    """The viewer's own work as it was watched, wherever that was."""
    rows = observations.about(unit, unit.viewer.person_id, MINE)
    return [_line(unit, row) for row in rows]


def of_person(unit: Unit, person_id: str) -> list[Line]:
    """The latest observations of a member. Raises NotFound."""
    unit.viewer.must_be("instructor")
    people.member(unit, person_id)
    return [_line(unit, row) for row in observations.of_person(unit, person_id, LATEST)]


def _check(watched: Watched, first: ObservationRow | None, now: datetime) -> None:
    if len(watched.notes) > LONGEST_NOTES:
        raise InputProblem("The notes are too long", "notes", f"Keep to {LONGEST_NOTES} letters.")
    if first is not None:
        asked = (watched.person_id, watched.method, watched.service)
        if (first.person_id, first.method, first.service) != asked:
            raise InputProblem("The first sheet is of other work", "sheet", "Open it again.")
        return
    if watched.on > now.date():
        raise InputProblem("That day is still to come", "on", "Sign what you have watched.")
    if watched.on < now.date() - OLDEST:
        raise InputProblem("That is too long ago", "on", f"At most {OLDEST.days} days back.")


def _check_next_step(watched: Watched, found: Outcome) -> None:
    said = watched.next_step.strip()
    if not found.met and len(said) < SHORTEST_STEP:
        raise InputProblem(
            "This is not yet competent, so it needs a next step",
            "next_step",
            "Say in a sentence what to do next, then sign.",
        )
    if len(said) > LONGEST_NOTES:
        raise InputProblem("This is too long", "next_step", f"Keep to {LONGEST_NOTES} letters.")


def _ways(bank: Bank, row: ObservationRow) -> tuple[WayBack, ...]:
    missed = [name for name, one in row.ticks.items() if not one["met"]]
    return tuple(way_back(bank, bank.criteria[name]) for name in missed if name in bank.criteria)


def _values(
    unit: Unit, bank: Bank, asked: Sheet, watched: Watched, found: Outcome, now: datetime
) -> dict[str, Any]:
    return {
        "id": new_id(),
        "submission_id": watched.submission_id or new_id(),
        "person_id": asked.person_id,
        "observer_id": unit.viewer.person_id,
        "organisation_id": unit.viewer.organisation_id,
        "method": asked.method,
        "service": asked.service,
        "observed_at": now if watched.on == now.date() else datetime.combine(watched.on, MIDDAY),
        "signed_at": now,
        "ticks": {
            one.id: {"text": one.text, "critical": one.critical, "met": one.id in watched.met}
            for one in asked.criteria
        },
        "notes": watched.notes.strip(),
        "next_step": "" if found.met else watched.next_step.strip(),
        "met": found.met,
        "bank_version": bank.version,
    }


def _log(unit: Unit, row: ObservationRow, now: datetime) -> None:
    body = {
        "observation": row.id,
        "method": row.method,
        "service": row.service,
        "met": row.met,
        "observer": row.observer_id,
        "bank": row.bank_version,
        "second_of": row.second_of or "",
    }
    log(unit, "observation.signed", body, now, person_id=row.person_id)


def _line(unit: Unit, row: ObservationRow) -> Line:
    return Line(
        row.id,
        row.person_id,
        people.person(unit, row.person_id).name,
        people.person(unit, row.observer_id).name,
        row.method,
        row.service,
        row.observed_at,
        row.met,
        row.asks_second and observations.second_of(unit, row.id) is None,
        row.second_of is not None,
        row.set_aside_why,
    )
