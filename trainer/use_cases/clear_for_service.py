"""Answer the salon: may this person do this service with this method on this day?"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.problems import InputProblem
from trainer.core.records.clearance import Clearance, Question, clear
from trainer.core.records.standing import Standing, standing_on
from trainer.store import competencies, people, standings
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.certify import Needed, needed
from trainer.use_cases.keep_standing import held, summed_up, words_on

ASKERS = ("salon_manager", "instructor", "administrator")
GRACE_DAYS = 30
WORST_FIRST = ("withdrawn", "suspended", "expired", "not_started", "working_towards", "competent")


@dataclass(frozen=True)
class Cleared:
    """The question as it was understood, the answer, and what a record takes from this person."""

    person_id: str
    person: str
    method: str
    service: str
    on: date
    clearance: Clearance
    needed: Needed


@dataclass(frozen=True)
class TeamMember:
    """One person of the team: a standing per method, and the methods whose record ends soon."""

    person_id: str
    name: str
    standings: Mapping[str, Standing]
    ends_soon: frozenset[str]


def answer(unit: Unit, bank: Bank, person_id: str, method: str, service: str, on: date) -> Cleared:
    """Answer for a member of the viewer's organisation. Raises NotFound for anybody else."""
    unit.viewer.must_be(*ASKERS)
    if method not in bank.methods:
        raise InputProblem("This method is not known", "method", "Choose one of the list.")
    if service not in SERVICES:
        raise InputProblem("This service is not known", "service", "Choose one of the list.")
    person, _ = people.member(unit, person_id)
    rows = standings.of_person(unit, person_id, method)
    begun = _begun(rows, competencies.of_person(unit, person_id))
    progress = replace(summed_up(rows), started=(person_id, method) in begun)
    standing = standing_on(on, service, held(unit, person_id, method), progress)
    named = bank.methods[method].name
    asked = Question(person.name, named, service, on)
    observed = bank.methods[method].scheme.observed
    found = clear(asked, standing, progress, GRACE_DAYS, observed)
    at = datetime.combine(on, time(12, tzinfo=UTC))
    takes = needed(unit, bank, person_id, method, at)
    return Cleared(person.id, person.name, named, service, on, found, takes)


def team(unit: Unit, bank: Bank, day: date, soon_days: int = 60) -> Sequence[TeamMember]:
    """The viewer's team: everyone who works or trains in the organisation, by name.

    `soon_days`: how near the end of a record must be to be told.
    """
    unit.viewer.must_be(*ASKERS)
    staff = [person for person, row in people.members(unit) if "apprentice" in row.roles]
    ids = [person.id for person in staff]
    rows = standings.of_people(unit, ids)
    begun = _begun(rows, competencies.of_people(unit, ids))
    words = words_on(rows, day)
    soon = day + timedelta(days=soon_days)
    return [_member(person, bank, words, begun, soon) for person in staff]


def staff(unit: Unit) -> Sequence[tuple[str, str]]:
    """Whom may be asked about: (id, name) of the team."""
    unit.viewer.must_be(*ASKERS)
    return [(one.id, one.name) for one, row in people.members(unit) if "apprentice" in row.roles]


def _member(
    person: people.PersonRow,
    bank: Bank,
    words: Mapping[tuple[str, str, str], Standing],
    begun: Collection[tuple[str, str]],
    soon: date,
) -> TeamMember:
    found = {}
    for method in bank.methods:
        without = Standing("working_towards" if (person.id, method) in begun else "not_started")
        found[method] = _worst(
            words.get((person.id, method, service), without)
            for service in bank.methods[method].scheme.observed
        )
    ending = {
        method
        for method, one in found.items()
        if one.word == "competent" and one.day is not None and one.day <= soon
    }
    return TeamMember(person.id, person.name, found, frozenset(ending))


def _begun(
    rows: Iterable[standings.StandingRow], practised: Iterable[Found]
) -> Collection[tuple[str, str]]:
    """(person, method) of everything that was practised or assessed."""
    found = {(row.person_id, row.method) for row in rows}
    return found | {(one.person_id, one.method) for one in practised if one.n}


def _worst(found: Iterable[Standing]) -> Standing:
    return min(found, key=lambda one: (WORST_FIRST.index(one.word), one.day or date.max))
