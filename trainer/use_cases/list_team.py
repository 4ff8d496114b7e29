"""The team page by page, with where each person stands, for other programs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.standing import Standing
from trainer.store import competencies, people, standings
from trainer.store.unit import Unit
from trainer.use_cases.clear_for_service import ASKERS, _begun
from trainer.use_cases.keep_standing import words_on
from trainer.use_cases.refusals import NotFound

TEAM_ROLE = "apprentice"


@dataclass(frozen=True, slots=True)
class Named:
    """Somebody of the team."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Standings:
    """Somebody of the team, and where they stand: (method, service, standing)."""

    person: Named
    standings: Sequence[tuple[str, str, Standing]]


@dataclass(frozen=True, slots=True)
class People:
    """A page of the team; `next` opens the one after it, None at the end."""

    people: Sequence[Named]
    next: str | None


def page(unit: Unit, after: str, count: int) -> People:
    """Some of the team by id. A page may hold fewer than `count`. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    found = people.members_after(unit, after, count)
    team = [Named(one.id, one.name) for one, row in found if TEAM_ROLE in row.roles]
    return People(team, found[-1][0].id if len(found) == count else None)


def one(unit: Unit, person_id: str) -> Named:
    """One of the team. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    person, row = people.member(unit, person_id)
    if TEAM_ROLE not in row.roles:
        raise NotFound
    return Named(person.id, person.name)


def stand(unit: Unit, bank: Bank, team: Sequence[Named], day: date) -> Sequence[Standings]:
    """Where each of these people of the team stands, with every method and service."""
    ids = [person.id for person in team]
    rows = standings.of_people(unit, ids)
    known, started = words_on(rows, day), _begun(rows, competencies.of_people(unit, ids))
    return [
        Standings(
            person,
            [
                (method, service, known.get((person.id, method, service)) or without)
                for method in bank.methods
                for without in [_without(person.id, method, started)]
                for service in SERVICES
            ],
        )
        for person in team
    ]


def _without(person_id: str, method: str, started: object) -> Standing:
    word = "working_towards" if (person_id, method) in started else "not_started"  # type: ignore[operator]
    return Standing(word)  # type: ignore[arg-type]
