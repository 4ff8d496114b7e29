"""Practise: what helps most now, the next scenario, and an answer with its reason at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from trainer.core.draw import Draw
from trainer.core.items.codec import as_kept, from_kept
from trainer.core.items.item import Item, Mark
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.marking.feedback import Feedback, feedback
from trainer.core.measurement.again import Past, due_again, owed
from trainer.core.measurement.practice_utility import RECENT, pick
from trainer.core.measurement.selection import level_for
from trainer.core.scenarios.content import fingerprint
from trainer.core.scenarios.family import Family, families
from trainer.core.scenarios.generate import generate
from trainer.store import competencies, modules, practice
from trainer.store.base import new_id
from trainer.store.modules import OpenModule
from trainer.store.unit import Unit
from trainer.use_cases import keep_top_up
from trainer.use_cases.keep_memory import keep_memories, memory_of
from trainer.use_cases.keep_top_up import HowFar
from trainer.use_cases.know_competency import (
    NOTHING,
    keep_answers,
    keep_wrong_ideas,
    known_of,
    row_of,
)
from trainer.use_cases.know_difficulty import difficulty_of, in_use, to_keep
from trainer.use_cases.know_standard import ability_needed
from trainer.use_cases.question import Question, question_of
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.weigh_practice import (
    background,
    choices,
    difficulties_of,
    wanted,
    weights_of,
)

NEW_FOR = 30
"""Scenarios for which the same content does not come back."""
TRIES = 12
SEEDS = 2**31
CONSULTATION = "consultation"
"""A type that is answered step by step, in a room of its own."""
SHORT = "short"
"""Any type but that."""


@dataclass(frozen=True, slots=True)
class Planned:
    """The next scenario: one that waits for an answer, or one to generate.

    `again`: a sibling of one that went wrong. `why`: one sentence for the learner. `seen`: the
    content of the last scenarios, newest first. `others`: families of the topic to turn to when
    this one has nothing new.
    """

    method: str
    topic: str
    waiting_id: str | None = None
    family: str = ""
    seed: int = 0
    level: str = ""
    again: bool = False
    why: str = ""
    seen: tuple[str, ...] = ()
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Made:
    """A generated scenario and the fingerprint of what it is about."""

    item: Item
    content: str


@dataclass(frozen=True, slots=True)
class Marked:
    """An answered scenario: as it was shown, what was answered, what it was worth.

    `counted`: the modules that it has just counted for, as they stand with it; `top_up`: the top-up
    that it is a question of.
    """

    item_id: str
    item: Item
    response: Any
    mark: Mark
    counted: Sequence[OpenModule] = ()
    top_up: HowFar | None = None


@dataclass(frozen=True, slots=True)
class History:
    """A page of answers, newest first, and the key of the next page."""

    rows: Sequence[Any]
    next: str


def plan_next(
    unit: Unit, bank: Bank, method: str, topic: str, now: datetime, kind: str = ""
) -> Planned:
    """Settle the next scenario on a method and topic: any, a consultation, or a short one.

    What waits for its answer comes first, then what went wrong and is due again; else the family
    that helps most (`practice_utility`). Raises NotFound if the bank has none.
    """
    there = of_kind(families(bank, method=method, topic=topic), kind)
    if not there:
        raise NotFound
    held = competencies.to_change(unit, unit.viewer.person_id, method, [topic])
    known = known_of(held[topic]) if topic in held else NOTHING
    if known.waiting_id:
        return Planned(method, topic, known.waiting_id)
    draw = Draw("practice", unit.viewer.person_id, method, topic, known.n, new_id())
    lately = practice.lately(unit, NEW_FOR)
    past = [Past(one.family, one.right) for one in lately]
    names = {one.id for one in there}
    open_for = modules.open_for(unit, unit.viewer.person_id)
    level = _asked_level(open_for, method, topic) or level_for(known.ability, known.n)
    back, reason = due_again(past, names, draw.branch("again")), ""
    family = back
    if not back:
        free, asked_for = _free(there, past), wanted(open_for, now)
        around = background(unit, asked_for, [one.family for one in past[:RECENT]], sorted(names))
        weights, hard = weights_of(bank, method), difficulties_of(unit, free, level)
        found = choices(free, {(method, topic): known}, around, now, weights, hard)
        best = pick(found, ability_needed(unit, bank, method), draw.branch("family"))
        family, reason = best.choice.id, best.reason
    return Planned(
        method,
        topic,
        family=family,
        seed=draw.below(SEEDS),
        level=level,
        again=bool(back),
        why=reason,
        seen=tuple(one.content for one in lately),
        others=() if back else tuple(draw.branch("others").shuffled(sorted(names - {family}))),
    )


def of_kind(there: Sequence[Family], kind: str) -> Sequence[Family]:
    """Those that are asked for; `SHORT`: all but consultations. '': every one."""
    if kind == SHORT:
        return [one for one in there if one.recipe.type != CONSULTATION]
    return [one for one in there if kind in ("", one.recipe.type)]


def make(bank: Bank, planned: Planned) -> Made | None:
    """Generate what was planned; None where a scenario waits. Do it outside units that write.

    What the learner saw lately is not made again: other seeds are tried, then the topic's other
    families. Where a topic has nothing new left, what was seen longest ago comes back.
    """
    if planned.waiting_id:
        return None
    tried: list[Made] = []
    for family in (planned.family, *planned.others):
        for seed in _seeds(planned, family):
            item = generate(bank, family, seed, planned.level)
            tried.append(Made(item, fingerprint(bank, item)))
            if tried[-1].content not in planned.seen:
                return tried[-1]
    return max(tried, key=lambda one: planned.seen.index(one.content))


def _seeds(planned: Planned, family: str) -> list[int]:
    """The planned seed first, then others that it settles."""
    draw = Draw("instead", planned.seed, family)
    return [planned.seed, *(draw.below(SEEDS) for _ in range(TRIES - 1))]


def show_next(unit: Unit, planned: Planned, made: Made | None, now: datetime) -> str:
    """Keep the scenario that is shown next, and give its id."""
    if planned.waiting_id or made is None:
        return planned.waiting_id or ""
    person_id, method, topic = unit.viewer.person_id, planned.method, planned.topic
    held = competencies.to_change(unit, person_id, method, [topic])
    known = known_of(held[topic]) if topic in held else NOTHING
    if known.waiting_id:
        return known.waiting_id
    item_id = keep_shown(unit, made, now, planned.again, planned.why)
    waiting = replace(known, waiting_id=item_id)
    competencies.keep(unit, [row_of(person_id, method, topic, waiting, known.updated_at)])
    return item_id


def keep_shown(unit: Unit, made: Made, now: datetime, again: bool = False, why: str = "") -> str:
    """Keep a scenario that is about to be shown to the viewer, and give its id."""
    item_id, heading = new_id(), made.item.heading
    (difficulty,) = to_keep([made.item], in_use(unit, [heading.family]))
    practice.show(
        unit,
        {
            "id": item_id,
            "person_id": unit.viewer.person_id,
            "organisation_id": unit.viewer.organisation_id,
            "method": heading.method,
            "topic": heading.topic,
            "family": heading.family,
            "kept": as_kept(made.item),
            "shown_at": now,
            "content": made.content,
            "again": again,
            "why": why,
            "difficulty": difficulty,
        },
    )
    return item_id


def see(unit: Unit, item_id: str) -> Question | Marked:
    """A shown scenario: the question, or how it was answered. Raises NotFound."""
    row = practice.shown(unit, item_id)
    said = practice.response_to(unit, item_id)
    if said is None:
        return question_of(row.kept, again=row.again, why=row.why, top_up=row.top_up)
    return _as_it_stands(unit, row, _marked(item_id, from_kept(row.kept), said.response))


def respond(
    unit: Unit,
    item_id: str,
    sent: Mapping[str, Sequence[str]],
    now: datetime,
) -> Marked:
    """Mark and keep one answer. A second answer to the same scenario changes nothing.

    Raises NotFound, also for a consultation (it is held step by step), and InputProblem when what
    was sent is no answer to it.
    """
    row = practice.shown(unit, item_id)
    item = from_kept(row.kept)
    if item.heading.type == CONSULTATION:
        raise NotFound
    return keep(unit, row, item, item_id, type_of(item).read(sent, item), now)


def keep(unit: Unit, row: Any, item: Item, item_id: str, response: Any, now: datetime) -> Marked:
    """Mark and keep a response to a shown scenario (`row`), and all that follows from it."""
    marked = _marked(item_id, item, response)
    if not practice.keep(unit, _response(unit, row, marked, now)):
        there = practice.response_to(unit, item_id)
        if there is None:
            raise NotFound
        return _as_it_stands(unit, row, _marked(item_id, item, there.response))
    right = marked.mark.right
    if row.any_module_open:
        person_id = unit.viewer.person_id
        counted = modules.count(unit, person_id, row.method, row.topic, right, now)
        marked = replace(marked, counted=counted)
    answered = (item, marked.mark, difficulty_of(item, row.difficulty))
    keep_answers(unit, row.method, [answered], now, item_id)
    keep_wrong_ideas(unit, item, marked.mark, now)
    before = memory_of(row)
    family = item.heading.family
    keep_memories(unit, [(item.heading, right)], {family: before} if before else {}, now)
    if row.top_up:
        marked = replace(marked, top_up=keep_top_up.count(unit, row.top_up, now))
    return marked


def explain(bank: Bank, marked: Marked) -> Feedback:
    """Why the answer was right or not, with facts and sources."""
    return feedback(bank, marked.item, marked.response, marked.mark)


def history(unit: Unit, before: str, count: int = 20) -> History:
    """The viewer's answers, newest first, a page at a time."""
    rows = practice.page_of_history(unit, _key(before), count + 1)
    more = len(rows) > count
    last = rows[count - 1] if more else None
    return History(rows[:count], f"{last.answered_at.isoformat()}~{last.item_id}" if last else "")


def _marked(item_id: str, item: Item, response: Any) -> Marked:
    return Marked(item_id, item, response, type_of(item).mark(item, response))


def _as_it_stands(unit: Unit, row: Any, marked: Marked) -> Marked:
    """One answered before: with its top-up as that stands by now."""
    return replace(marked, top_up=keep_top_up.so_far(unit, row.top_up)) if row.top_up else marked


def _response(unit: Unit, row: Any, marked: Marked, now: datetime) -> dict[str, Any]:
    mark = marked.mark
    return {
        "item_id": marked.item_id,
        "person_id": unit.viewer.person_id,
        "organisation_id": unit.viewer.organisation_id,
        "method": row.method,
        "topic": row.topic,
        "family": marked.item.heading.family,
        "response": marked.response,
        "score": mark.score,
        "right": mark.right,
        "critical_error": mark.critical_error,
        "misconceptions": list(mark.misconceptions),
        "wrong": list(mark.wrong),
        "answered_at": now,
    }


def _asked_level(open_for: Sequence[OpenModule], method: str, topic: str) -> str:
    """The level that the first open module on this topic names; '' if none does."""
    levels = (one.level for one in open_for if method in one.methods and topic in one.topics)
    return next(filter(None, levels), "")


def _free(there: Sequence[Family], past: Sequence[Past]) -> Sequence[Family]:
    """Families not seen lately where there are any; else the one seen longest ago.

    One that went wrong and is to come back keeps its place for then.
    """
    kept_back = {family for _, family in owed(past, {one.id for one in there})}
    free = [one for one in there if one.id not in kept_back] or there
    recent = [one.family for one in past[:RECENT]]
    fresh = [one for one in free if one.id not in recent]
    return fresh or [max(free, key=lambda one: recent.index(one.id))]


def _key(before: str) -> tuple[datetime, str] | None:
    at, _, item_id = before.partition("~")
    try:
        return (datetime.fromisoformat(at), item_id) if item_id else None
    except ValueError:
        raise NotFound from None
