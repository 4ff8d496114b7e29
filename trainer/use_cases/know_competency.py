"""What answers say of ability: read it, and bring it up to date with each answer."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from trainer.core.items.item import Item, Mark
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.ability import Ability, after_each
from trainer.core.measurement.blueprint import Blueprint, read_blueprint
from trainer.core.measurement.growth import rested, taught
from trainer.core.measurement.priors import Difficulty
from trainer.store import competencies, practice
from trainer.store.competencies import WHOLE
from trainer.store.unit import Unit
from trainer.use_cases import know_growth


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of one method and topic. `waiting_id`: a scenario shown, not yet answered."""

    ability: Ability = Ability()
    n: int = 0
    right: int = 0
    updated_at: datetime | None = None
    waiting_id: str | None = None

    def days_since(self, now: datetime) -> float | None:
        """Days since the last answer, None for never."""
        return None if self.updated_at is None else (now - self.updated_at).total_seconds() / 86400

    def counted(self, ability: Ability, right: bool, now: datetime, answered_id: str) -> "Known":
        """The same after one more answer, to the scenario `answered_id`."""
        waiting = None if self.waiting_id == answered_id else self.waiting_id
        return Known(ability, self.n + 1, self.right + right, now, waiting)


NOTHING = Known()


def known_of(row: Any) -> Known:
    """What a row of the summary says."""
    return Known(Ability(row.mean, row.sd), row.n, row.right, row.updated_at, row.waiting_id)


def known_to(unit: Unit, person_id: str) -> Mapping[tuple[str, str], Known]:
    """(method, topic) -> what is known of a person."""
    return {
        (row.method, row.topic): known_of(row) for row in competencies.of_person(unit, person_id)
    }


def blueprint_of(bank: Bank, method: str) -> Blueprint:
    """What an assessment of the method must contain."""
    name = "bonded" if bank.methods[method].bonded else "loose"
    return read_blueprint(name, bank.blueprints[name])


def keep_answers(
    unit: Unit,
    method: str,
    answers: Sequence[tuple[Item, Mark, Difficulty]],
    now: datetime,
    answered_id: str = "",
) -> None:
    """Bring the viewer's summary up to date with answers to items of one method.

    Time since the last answer leaves it less sure. `answered_id`: in practice, the shown scenario
    that no longer waits for its answer; there each answer is explained, and so teaches. In a
    sitting none does: its decision rests on its own answers and frozen parameters alone.
    """
    growth = know_growth.in_use(unit)
    person_id = unit.viewer.person_id
    topics = list(dict.fromkeys(item.heading.topic for item, _, _ in answers))
    held = competencies.to_change(unit, person_id, method, topics)
    known = {
        topic: known_of(held[topic]) if topic in held else NOTHING for topic in (WHOLE, *topics)
    }
    for item, mark, difficulty in answers:
        touched = (WHOLE, item.heading.topic)
        right = mark.right
        moves = (growth.whole, growth.topic)
        before = [
            rested(known[topic].ability, known[topic].days_since(now) or 0.0, one)
            for topic, one in zip(touched, moves, strict=True)
        ]
        after = after_each(before, right, difficulty)
        for topic, ability, one in zip(touched, after, moves, strict=True):
            now_able = taught(ability, one) if answered_id else ability
            known[topic] = known[topic].counted(now_able, right, now, answered_id)
    competencies.keep(unit, [row_of(person_id, method, t, one, now) for t, one in known.items()])


def row_of(
    person_id: str, method: str, topic: str, known: Known, now: datetime | None
) -> dict[str, Any]:
    """A row of the summary."""
    return {
        "person_id": person_id,
        "method": method,
        "topic": topic,
        "mean": known.ability.mean,
        "sd": known.ability.sd,
        "n": known.n,
        "right": known.right,
        "updated_at": now,
        "waiting_id": known.waiting_id,
    }


def keep_wrong_ideas(unit: Unit, item: Item, mark: Mark, now: datetime) -> None:
    """Count the misconceptions that an answer showed."""
    heading = item.heading
    for misconception in mark.misconceptions:
        practice.note_wrong_idea(
            unit,
            unit.viewer.organisation_id,
            heading.method,
            heading.topic,
            misconception,
            now,
        )
