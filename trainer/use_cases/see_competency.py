"""How a person stands against the standard, in plain words."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.ability import Ability, Band, band
from trainer.store.competencies import WHOLE
from trainer.store.unit import Unit
from trainer.use_cases.choose_practice import topics_there
from trainer.use_cases.draw_on_scale import Drawn, drawn
from trainer.use_cases.know_competency import NOTHING, Known, known_to
from trainer.use_cases.know_standard import abilities_needed, ability_needed
from trainer.use_cases.refusals import NotFound


@dataclass(frozen=True, slots=True)
class Standing:
    """One method or topic: a band, its drawing, and counts."""

    topic: str
    band: Band
    drawn: Drawn
    n: int
    right: int
    updated_at: datetime | None


@dataclass(frozen=True, slots=True)
class MethodStanding:
    """A method, and its topics that have questions."""

    method: str
    whole: Standing
    topics: tuple[Standing, ...]


def standings(unit: Unit, bank: Bank, person_id: str) -> tuple[MethodStanding, ...]:
    """How a person stands with every method that has questions."""
    known, needed = known_to(unit, person_id), abilities_needed(unit, bank)
    return tuple(
        _method(needed[method], known, method, topics)
        for method, topics in topics_there(bank).items()
        if topics
    )


def standing_of(unit: Unit, bank: Bank, person_id: str, method: str, topic: str) -> Standing:
    """How a person stands with one topic of a method. Raises NotFound if it has no questions."""
    if topic not in topics_there(bank).get(method, ()):
        raise NotFound
    known = known_to(unit, person_id).get((method, topic), NOTHING)
    return _standing(topic, known, ability_needed(unit, bank, method))


def _method(
    standard: float,
    known: Mapping[tuple[str, str], Known],
    method: str,
    topics: tuple[str, ...],
) -> MethodStanding:
    return MethodStanding(
        method,
        _standing(WHOLE, known.get((method, WHOLE), NOTHING), standard),
        tuple(_standing(topic, known.get((method, topic), NOTHING), standard) for topic in topics),
    )


def _standing(topic: str, known: Known, standard: float) -> Standing:
    ability: Ability = known.ability
    return Standing(
        topic,
        band(ability, standard) if known.n else "unknown",
        drawn(ability.mean, ability.sd, standard),
        known.n,
        known.right,
        known.updated_at,
    )
