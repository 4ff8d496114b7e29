"""What is known around each family that may be practised, gathered for the choice of the next."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.forgetting import Memory, chance_of_recall
from trainer.core.measurement.practice_utility import Choice
from trainer.core.measurement.priors import Difficulty
from trainer.core.scenarios.family import Family, families
from trainer.store import practice
from trainer.store.modules import OpenModule
from trainer.store.unit import Unit
from trainer.use_cases import draw_form
from trainer.use_cases.keep_memory import remembered
from trainer.use_cases.know_competency import NOTHING, Known
from trainer.use_cases.know_difficulty import in_use

DAY = 86400.0
Pair = tuple[str, str]
"""Method and topic."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What an assignment asks for: one method's topic, and days until it is due, if any."""

    method: str
    topic: str
    due_days: float | None
    module_id: str = ""


@dataclass(frozen=True, slots=True)
class Weight:
    """What a family and its topic weigh in the assessment, as shares of the weightiest, 0..1."""

    part: float
    share: float


@dataclass(frozen=True, slots=True)
class Background:
    """What the store says around practice: asked for, remembered, believed, shown lately.

    `shown`: families, newest first. `ideas`: when a wrong idea last showed on a method and topic.
    """

    asked: Mapping[Pair, Wanted]
    memories: Mapping[str, Memory]
    ideas: Mapping[Pair, datetime]
    shown: Sequence[str]


def wanted(found: Sequence[OpenModule], now: datetime) -> list[Wanted]:
    """What open modules ask for, topic by topic, the last to be due first."""
    return [
        Wanted(method, topic, float((module.due_on - now.date()).days), module.id)
        for module in reversed(found)
        for method in module.methods
        for topic in module.topics
    ]


def background(
    unit: Unit,
    asked_for: Sequence[Wanted],
    shown: Sequence[str],
    among: Sequence[str] | None = None,
) -> Background:
    """Read it for the viewer. `among`: the families that matter; all where none are named."""
    ideas: dict[Pair, datetime] = {}
    for row in practice.wrong_ideas(unit, [unit.viewer.person_id]):
        pair = (row.method, row.topic)
        ideas[pair] = max(row.last_at, ideas.get(pair, row.last_at))
    asked = {(one.method, one.topic): one for one in asked_for}
    return Background(asked, remembered(unit, among), ideas, shown)


def choices(
    there: Sequence[Family],
    known: Mapping[Pair, Known],
    back: Background,
    now: datetime,
    weights: Mapping[Pair, Weight],
    difficulties: Mapping[str, Difficulty] | None = None,
) -> list[Choice]:
    """A choice for each family, in the same order."""
    ago = {family: place for place, family in reversed(list(enumerate(back.shown)))}
    last = next((one for one in there if back.shown and one.id == back.shown[0]), None)
    here = (last.method, last.topic) if last else None
    hard, out = difficulties or {}, []
    for one in there:
        pair = (one.method, one.topic)
        found = known.get(pair, NOTHING)
        plain = Choice(
            one.id,
            "/".join(pair),
            one.recipe.critical,
            found.ability,
            found.n,
            just_now=here == pair,
            shown_ago=ago.get(one.id),
            part=weights[pair].part,
            share=weights[pair].share,
            difficulty=hard.get(one.id),
        )
        out.append(_with_past(plain, one, back, now))
    return out


def difficulties_of(unit: Unit, there: Sequence[Family], level: str) -> Mapping[str, Difficulty]:
    """Family -> how hard the calibration in use found it at a level; those that it knows."""
    found = in_use(unit, [one.id for one in there])
    return {} if found is None else {name: found.at_level(name, level) for name in found.families}


def weights_of(bank: Bank, method: str) -> Mapping[Pair, Weight]:
    """What each topic, and each of its families, weighs in the method's assessment."""
    return bank.once(("weights", method), lambda: _weights(bank, method))


def _weights(bank: Bank, method: str) -> Mapping[Pair, Weight]:
    there = Counter(one.topic for one in families(bank, method=method))
    counts = {
        topic: max(draw_form.wanted(bank, method).by_topic.get(topic, 0), 1) for topic in there
    }
    share, part = max(counts.values()), max(counts[topic] / there[topic] for topic in there)
    return {
        (method, topic): Weight(counts[topic] / there[topic] / part, counts[topic] / share)
        for topic in there
    }


def _with_past(plain: Choice, one: Family, back: Background, now: datetime) -> Choice:
    """The choice with what was answered, believed and asked for."""
    pair = (one.method, one.topic)
    memory, idea, asked = back.memories.get(one.id), back.ideas.get(pair), back.asked.get(pair)
    if idea and memory and memory.recalled and memory.at > idea:
        idea = None  # a right answer there since then: settled, as far as this family can tell
    return replace(
        plain,
        recall=chance_of_recall(memory, now) if memory else None,
        went_wrong=memory is not None and not memory.recalled,
        days_since=_days(memory.at, now) if memory else None,
        idea_days=_days(idea, now) if idea else None,
        assigned=asked is not None,
        due_days=asked.due_days if asked else None,
    )


def _days(then: datetime, now: datetime) -> float:
    return (now - then).total_seconds() / DAY
