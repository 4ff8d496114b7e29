"""What is there to practise, what helps most now, and why."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.core.draw import Draw
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import TOPICS
from trainer.core.measurement.practice_utility import RECENT, pick
from trainer.core.scenarios.family import Family, families
from trainer.store import modules, practice
from trainer.store.modules import OpenModule
from trainer.store.unit import Unit
from trainer.use_cases.know_competency import NOTHING, Known, known_to
from trainer.use_cases.know_standard import ability_needed
from trainer.use_cases.practise import of_kind
from trainer.use_cases.weigh_practice import (
    Pair,
    Wanted,
    Weight,
    background,
    choices,
    wanted,
    weights_of,
)

__all__ = ["DoNow", "Wanted", "assigned", "do_now", "next_in", "topics_there", "wanted"]


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


def do_now(
    unit: Unit, bank: Bank, asked_for: Sequence[Wanted], now: datetime, kind: str = ""
) -> DoNow | None:
    """What helps the viewer most now; None while the bank has no questions.

    Only methods that were begun or are asked for, if there are any. `kind` as in `plan_next`.
    """
    known = known_to(unit, unit.viewer.person_id)
    there = of_kind(_open_to(bank, known, {one.method for one in asked_for}), kind)
    return _best(unit, bank, there, known, asked_for, now)


def next_in(unit: Unit, bank: Bank, module_id: str, now: datetime) -> DoNow | None:
    """What comes next in a module: of the topic that was answered longest ago, what helps most.

    So a module goes over all it asks for. None once it is not open to the viewer.
    """
    found = [one for one in assigned(unit) if one.id == module_id]
    there = [
        family
        for module in found
        for family in families(bank)
        if family.method in module.methods and family.topic in module.topics
    ]
    known = known_to(unit, unit.viewer.person_id)

    def last(family: Family) -> tuple[bool, datetime | None]:
        at = known.get((family.method, family.topic), NOTHING).updated_at
        return (at is not None, at)

    longest_ago = min(map(last, there), default=None)
    there = [one for one in there if last(one) == longest_ago]
    return _best(unit, bank, there, known, wanted(found, now), now)


def _best(
    unit: Unit,
    bank: Bank,
    there: Sequence[Family],
    known: Mapping[Pair, Known],
    asked_for: Sequence[Wanted],
    now: datetime,
) -> DoNow | None:
    if not there:
        return None
    shown = [one.family for one in practice.lately(unit, RECENT)]
    back = background(unit, asked_for, shown)
    draw = Draw("do now", unit.viewer.person_id, sum(one.n for one in known.values()))
    weights: dict[Pair, Weight] = {}
    for method in {one.method for one in there}:
        weights |= weights_of(bank, method)
    found = choices(there, known, back, now, weights)
    picked = pick(found, ability_needed(unit, bank, there[0].method), draw)
    method, _, topic = picked.choice.topic.partition("/")
    waiting = known.get((method, topic), NOTHING).waiting_id is not None
    by = back.asked.get((method, topic))
    return DoNow(method, topic, picked.reason, waiting, by.module_id if by else "")


def _open_to(bank: Bank, known: Mapping[Pair, Known], asked: set[str]) -> list[Family]:
    begun = {method for (method, _), one in known.items() if one.n} | asked
    return [one for one in families(bank) if not begun or one.method in begun]
