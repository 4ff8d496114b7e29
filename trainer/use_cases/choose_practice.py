"""What is there to practise, what helps most now, and why."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.core.draw import Draw
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import TOPICS
from trainer.core.measurement.selection import Choice, pick
from trainer.core.scenarios.family import families
from trainer.store import modules, practice
from trainer.store.modules import OpenModule
from trainer.store.unit import Unit
from trainer.use_cases.know_competency import NOTHING, Known, known_to
from trainer.use_cases.know_standard import abilities_needed


@dataclass(frozen=True, slots=True)
class Wanted:
    """What an assignment asks for: one method's topic, and days until it is due, if any."""

    method: str
    topic: str
    due_days: float | None
    module_id: str = ""


@dataclass(frozen=True, slots=True)
class DoNow:
    """The one thing to do now. `waiting`: it was opened and not answered yet.

    `module_id`: the module that asks for it, '' if none does.
    """

    method: str
    topic: str
    reason: str
    waiting: bool
    module_id: str = ""


def topics_there(bank: Bank) -> Mapping[str, tuple[str, ...]]:
    """Method -> topics that have questions, in the order of the vocabulary."""
    pairs = {(family.method, family.topic) for family in families(bank)}
    return {
        method: tuple(topic for topic in TOPICS if (method, topic) in pairs)
        for method in bank.methods
    }


def assigned(unit: Unit) -> list[OpenModule]:
    """What the viewer's instructors asked for and is not done, due first."""
    return modules.open_for(unit, unit.viewer.person_id)


def wanted(found: Sequence[OpenModule], now: datetime) -> list[Wanted]:
    """What open modules ask for, topic by topic, the last to be due first."""
    return [
        Wanted(method, topic, float((module.due_on - now.date()).days), module.id)
        for module in reversed(found)
        for method in module.methods
        for topic in module.topics
    ]


def do_now(unit: Unit, bank: Bank, asked_for: Sequence[Wanted], now: datetime) -> DoNow | None:
    """What helps the viewer most now; None while the bank has no questions.

    Only methods that were begun or are asked for, if there are any: safety first within them.
    """
    known = known_to(unit, unit.viewer.person_id)
    asked = {(one.method, one.topic): one for one in asked_for}
    choices = _choices(unit, bank, known, asked, now)
    if not choices:
        return None
    draw = Draw("do now", unit.viewer.person_id, sum(one.n for one in known.values()))
    standard = abilities_needed(unit, bank)[choices[0].id.partition("/")[0]]
    picked = pick(choices, standard, draw)
    method, _, topic = picked.choice.id.partition("/")
    waiting = known.get((method, topic), NOTHING).waiting_id is not None
    by = asked.get((method, topic))
    return DoNow(method, topic, picked.reason, waiting, by.module_id if by else "")


def _choices(
    unit: Unit,
    bank: Bank,
    known: Mapping[tuple[str, str], Known],
    asked: Mapping[tuple[str, str], Wanted],
    now: datetime,
) -> list[Choice]:
    begun = {method for (method, _), one in known.items() if one.n} | {m for m, _ in asked}
    last = practice.latest_family(unit)
    critical = {(one.method, one.topic) for one in families(bank) if one.recipe.critical}
    there = [
        (method, topic)
        for method, topics in topics_there(bank).items()
        for topic in topics
        if not begun or method in begun
    ]
    return [
        Choice(
            "/".join(pair),
            pair in critical,
            known.get(pair, NOTHING).ability,
            known.get(pair, NOTHING).n,
            known.get(pair, NOTHING).days_since(now),
            pair in asked,
            asked[pair].due_days if pair in asked else None,
            last is not None and (last.method, last.topic) == pair,
        )
        for pair in there
    ]
