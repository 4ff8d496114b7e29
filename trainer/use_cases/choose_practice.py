"""What is there to practise, what helps most now, and why."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from trainer.core.draw import Draw
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import TOPICS
from trainer.core.measurement.selection import Choice, pick
from trainer.core.scenarios.family import families
from trainer.store import practice
from trainer.store.unit import Unit
from trainer.use_cases.know_competency import NOTHING, known_to, standard_of


@dataclass(frozen=True, slots=True)
class Wanted:
    """What an assignment asks for: one method's topic, and days until it is due, if any."""

    method: str
    topic: str
    due_days: float | None


@dataclass(frozen=True, slots=True)
class DoNow:
    """The one thing to do now. `waiting`: it was opened and not answered yet."""

    method: str
    topic: str
    reason: str
    waiting: bool


def topics_there(bank: Bank) -> Mapping[str, tuple[str, ...]]:
    """Method -> topics that have questions, in the order of the vocabulary."""
    pairs = {(family.method, family.topic) for family in families(bank)}
    return {
        method: tuple(topic for topic in TOPICS if (method, topic) in pairs)
        for method in bank.methods
    }


def wanted(unit: Unit, bank: Bank, now: datetime) -> list[Wanted]:
    """What the viewer's open modules ask for."""
    return []


def do_now(unit: Unit, bank: Bank, wanted: list[Wanted], now: datetime) -> DoNow | None:
    """What helps the viewer most now; None while the bank has no questions.

    Only methods that were begun or are asked for, if there are any: safety first within them.
    """
    known = known_to(unit, unit.viewer.person_id)
    asked = {(one.method, one.topic): one.due_days for one in wanted}
    begun = {method for (method, _), one in known.items() if one.n} | {m for m, _ in asked}
    last = practice.latest_family(unit)
    critical = {(one.method, one.topic) for one in families(bank) if one.recipe.critical}
    choices = {}
    for method, topics in topics_there(bank).items():
        for topic in topics if not begun or method in begun else ():
            one = known.get((method, topic), NOTHING)
            choices[f"{method}/{topic}"] = Choice(
                f"{method}/{topic}",
                (method, topic) in critical,
                one.ability,
                one.n,
                one.days_since(now),
                (method, topic) in asked,
                asked.get((method, topic)),
                last is not None and (last.method, last.topic) == (method, topic),
            )
    if not choices:
        return None
    draw = Draw("do now", unit.viewer.person_id, sum(one.n for one in known.values()))
    standard = standard_of(bank, next(iter(choices)).partition("/")[0])
    picked = pick(list(choices.values()), standard, draw)
    method, _, topic = picked.choice.id.partition("/")
    waiting = known.get((method, topic), NOTHING).waiting_id is not None
    return DoNow(method, topic, picked.reason, waiting)
