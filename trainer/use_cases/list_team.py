"""The team page by page, with where each person stands, for other programs."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.standing import Standing
from trainer.store import team
from trainer.store.unit import Unit
from trainer.use_cases.name_team import name_of
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.weigh_clearance import read_kept


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
    """Some of the team by id, from behind an id on. Raises Forbidden."""
    unit.viewer.must_be(*ASKERS)
    found = [Named(row.id, row.name) for row in team.by_id(unit, after, count)]
    return People(found, found[-1].id if len(found) == count else None)


def one(unit: Unit, person_id: str) -> Named:
    """Somebody who belongs to the viewer's organisation. Raises NotFound, Forbidden."""
    return Named(person_id, name_of(unit, person_id))


def stand(
    unit: Unit, bank: Bank, people: Sequence[Named], day: date, grace_days: int
) -> Sequence[Standings]:
    """Where each of these people stands on a day, with every method and service."""
    kept = read_kept(unit, bank, [person.id for person in people], grace_days)
    every = [(method, service) for method in bank.methods for service in SERVICES]
    return [
        Standings(person, [(m, s, kept.standing(person.id, m, s, day)) for m, s in every])
        for person in people
    ]
