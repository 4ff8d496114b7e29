"""Finish a sitting: fresh questions after critical errors, the decision, the review."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from trainer.core.items.codec import from_kept
from trainer.core.items.item import Item, Mark
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.marking.feedback import Feedback, feedback
from trainer.core.marking.sitting import (
    Answered,
    called_for,
    topics_to_work_on,
    unresolved,
)
from trainer.core.measurement.decision import Decision, decide
from trainer.core.measurement.priors import Difficulty
from trainer.core.scenarios.family import families
from trainer.store import contests, sittings
from trainer.store.sittings import CONFIRM, DONE, MAIN, SittingRow
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.keep_memory import keep_memories, remembered
from trainer.use_cases.know_competency import (
    blueprint_of,
    keep_answers,
    keep_wrong_ideas,
)
from trainer.use_cases.know_difficulty import difficulty_of
from trainer.use_cases.know_standard import equated
from trainer.use_cases.pause_sitting import run_on
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.sit_assessment import fresh_items, with_difficulty
from trainer.use_cases.unusual_answers import unusual


@dataclass(frozen=True, slots=True)
class Reviewed:
    """One question of a sitting that is done: its number in its part, and what it was worth.

    `withdrawn`: it was found faulty, and counts no more.
    """

    position: int
    phase: str
    item: Item
    answer: Any
    answered: Answered
    difficulty: Difficulty
    withdrawn: bool = False


def finish(unit: Unit, bank: Bank, sitting_id: str, now: datetime) -> SittingRow:
    """End the present part of a sitting of the viewer; finishing twice changes nothing.

    Critical errors of the main part bring fresh questions once; then comes the decision.
    """
    row = sittings.own(unit, sitting_id, to_change=True)
    if row.state == DONE:
        return row
    run_on(row, now)
    reviewed = reviewed_of(unit, sitting_id)
    if row.state == MAIN and _ask_again(unit, bank, row, reviewed, now):
        return row
    decision = settle(unit, bank, row, reviewed)
    row.state, row.unfinished, row.finished_at = DONE, None, now
    unit.session.flush()
    contests.keep_decision(unit, row, "", now)
    _keep(unit, row, reviewed, now)
    log_decision(unit, row, decision, now)
    return row


def review(unit: Unit, sitting_id: str) -> tuple[SittingRow, tuple[Reviewed, ...]]:
    """A sitting that is done, with every question and mark. Raises NotFound before that."""
    row = sittings.own(unit, sitting_id)
    if row.state != DONE:
        raise NotFound
    return row, reviewed_of(unit, sitting_id)


def explain(bank: Bank, one: Reviewed) -> Feedback | None:
    """Why an answer was right or not; None where nothing was answered."""
    if one.answered.mark is None:
        return None
    return feedback(bank, one.item, one.answer, one.answered.mark)


def key_in_words(one: Reviewed) -> list[str]:
    """The right answer in words, a line each."""
    return type_of(one.item).say_key(one.item)


def reviewed_of(unit: Unit, sitting_id: str) -> tuple[Reviewed, ...]:
    """Every question of a sitting with its mark, as it now stands."""
    out = []
    for row in sittings.items(unit, sitting_id):
        item = from_kept(row.kept)
        mark = None if row.answer is None else type_of(item).mark(item, row.answer)
        answered = Answered(
            row.position, row.family, item.heading.topic, item.critical, item.facts, mark
        )
        difficulty = difficulty_of(item, row.difficulty)
        out.append(
            Reviewed(row.position, row.phase, item, row.answer, answered, difficulty, row.withdrawn)
        )
    return tuple(out)


def _part(reviewed: Sequence[Reviewed], phase: str) -> list[Answered]:
    return [one.answered for one in reviewed if one.phase == phase]


def _ask_again(
    unit: Unit, bank: Bank, row: SittingRow, reviewed: Sequence[Reviewed], now: datetime
) -> bool:
    """Open the confirming part where critical errors call for it, with time of its own."""
    blueprint = blueprint_of(bank, row.method)
    there = {family.id for family in families(bank, method=row.method)}
    called = called_for(_part(reviewed, MAIN), row.cut, blueprint.siblings)
    wanted = [sibling.family for sibling in called if sibling.family in there]
    if not wanted:
        return False
    rows = fresh_items(bank, row.id, wanted, CONFIRM, row.most + 1)
    sittings.add_items(unit, with_difficulty(unit, rows))
    minutes = blueprint.confirm_minutes * len(wanted)
    row.state, row.place = CONFIRM, None
    usual = blueprint.minutes * row.most / blueprint.items  # a refresh set is shorter
    row.closes_at = now + timedelta(minutes=minutes * row.minutes / usual)
    unit.session.flush()
    return True


def settle(unit: Unit, bank: Bank, row: SittingRow, reviewed: Sequence[Reviewed]) -> Decision:
    """Write into a sitting what its questions (`reviewed`, without those withdrawn) come to."""
    blueprint = blueprint_of(bank, row.method)
    main, confirm = _part(reviewed, MAIN), _part(reviewed, CONFIRM)
    called = dict.fromkeys(s.family for s in called_for(main, row.cut, 1))
    settled = {one.family for one in confirm} - set(unresolved(confirm, blueprint.siblings_right))
    still = tuple(family for family in called if family not in settled)
    right = tuple(one.right for one in main)
    difficulties = tuple(one.difficulty for one in reviewed if one.phase == MAIN)
    decision = decide(
        right,
        difficulties,
        blueprint.cut_share,
        len(still),
        equated(row.cut, row.outcome),
        float(row.outcome.get("centre", 0.0)),
    )
    row.score, row.passed = decision.score, decision.passed
    row.confidence = decision.confidence
    row.outcome = row.outcome | {
        "topics": list(topics_to_work_on(main, still, blueprint.cut_share)),
        "critical_errors": len(called),
        "unresolved": len(still),
        "unresolved_topics": list(dict.fromkeys(o.topic for o in main if o.family in still)),
        "borderline": decision.borderline,
        "reached_cut": decision.reached_cut,
        "open": sum(one.mark is None for one in main),
        "unusual": unusual(right, difficulties),
    }
    unit.session.flush()
    return decision


def _keep(unit: Unit, row: SittingRow, reviewed: Sequence[Reviewed], now: datetime) -> None:
    answers: list[tuple[Item, Mark, Difficulty]] = [
        (one.item, one.answered.mark, one.difficulty)
        for one in reviewed
        if one.answered.mark is not None
    ]
    if answers:
        keep_answers(unit, row.method, answers, now)
    for item, mark, _ in answers:
        keep_wrong_ideas(unit, item, mark, now)
    families = sorted({item.heading.family for item, _, _ in answers})
    before = remembered(unit, families) if families else {}
    keep_memories(unit, [(item.heading, mark.right) for item, mark, _ in answers], before, now)


def log_decision(unit: Unit, row: SittingRow, decision: Decision, now: datetime) -> None:
    """Log the decision that a sitting stands at."""
    body = {
        "sitting": row.id,
        "method": row.method,
        "passed": decision.passed,
        "score": decision.score,
        "needed": decision.needed,
        "unresolved": row.outcome["unresolved"],
        "form": row.fingerprint,
        "bank": row.bank_version,
    }
    log(
        unit,
        "sitting.decided",
        body,
        now,
        person_id=row.person_id,
        organisation_id=row.organisation_id,
    )
