"""Sit an assessment: what is offered, its form drawn, its pages, every answer kept at once."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from trainer.core.draw import Draw
from trainer.core.items.codec import as_kept, from_kept
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.marking.accommodation import SittingClock
from trainer.core.measurement.blueprint import Blueprint
from trainer.core.scenarios.generate import generate
from trainer.store import sittings
from trainer.store.base import new_id
from trainer.store.sittings import DONE, MAIN, NO_WAIT, SET_ASIDE, SittingRow
from trainer.store.unit import Unit
from trainer.use_cases.accommodate import clock_of, standing
from trainer.use_cases.draw_form import NOT_AT_ALL, Lately, form_of, unmet, wanted
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.know_difficulty import in_use, to_keep
from trainer.use_cases.know_standard import questions_needed, share_needed
from trainer.use_cases.question import Question, question_of
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.typical_items import LEVEL

GRACE = timedelta(seconds=30)
"""An answer sent in time may arrive this much later."""
SEEDS = 2**31
TRIES = 8
FULL, REFRESH = "full", "refresh"
"""The whole assessment, or the shorter set of whoever renews in time."""


@dataclass(frozen=True, slots=True)
class Offer:
    """An assessment of one method as it stands for the viewer.

    `waiting_id`: a sitting that is not finished. `from_when`: when the next may be opened, if
    that is later than now. `unmet`: topics that the bank has too few questions for. `minutes`
    with the extra time that the viewer has.
    """

    method: str
    blueprint: Blueprint
    waiting_id: str | None
    last: SittingRow | None
    from_when: datetime | None
    unmet: tuple[str, ...]
    minutes: int
    counts: Mapping[str, int]
    cut_share: float
    by_panel: bool

    @property
    def needed(self) -> int:
        """The raw score that a form needs; about that many where a panel has set it."""
        return questions_needed(self.blueprint.items, self.cut_share, self.by_panel)


@dataclass(frozen=True, slots=True)
class Prepared:
    """A form with its items, ready to be begun. `kind`: full or refresh."""

    id: str
    kind: str
    blueprint: Blueprint
    items: tuple[dict[str, Any], ...]
    moved: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """One question of a sitting: its number in this part, and how it stands."""

    position: int
    number: int
    answered: bool
    flagged: bool


@dataclass(frozen=True, slots=True)
class Page:
    """A sitting at one of its questions."""

    sitting: SittingRow
    places: tuple[Place, ...]
    here: Place
    question: Question
    clock: SittingClock
    now: datetime

    @property
    def seconds_left(self) -> int:
        """Whole seconds until the time is over."""
        return self.clock.seconds_left(self.now)

    @property
    def ends_at(self) -> datetime:
        """When the time is over, if there is no pause to come."""
        return self.clock.end(self.now)


def offer(unit: Unit, bank: Bank, method: str, retake_days: int, now: datetime) -> Offer:
    """What the viewer may do about a method's assessment. Raises NotFound for no method."""
    if method not in bank.methods:
        raise NotFound
    person_id = unit.viewer.person_id
    blueprint = blueprint_of(bank, method)
    open_one = sittings.unfinished(unit, person_id, method)
    last = sittings.latest(unit, person_id, method)
    return Offer(
        method,
        blueprint,
        open_one.id if open_one else None,
        last,
        again_from(last, retake_days, now),
        unmet(bank, method),
        standing(unit, person_id).minutes(blueprint.minutes),
        wanted(bank, method).by_topic,
        *share_needed(unit, method, blueprint),
    )


def again_from(last: SittingRow | None, retake_days: int, now: datetime) -> datetime | None:
    """When somebody may sit again after their last one; None if that is not later than now.

    No wait runs after one that was set aside, or whose wait was ended.
    """
    if last is None or last.passed or last.finished_at is None:
        return None
    if last.outcome.keys() & {SET_ASIDE, NO_WAIT}:
        return None
    again = last.finished_at + timedelta(days=retake_days)
    return again if again > now else None


def prepare(bank: Bank, method: str, seen: Lately = NOT_AT_ALL) -> Prepared:
    """Draw a form of its own and generate its items. Raises InputProblem if the bank has too few.

    `seen`: what was used lately (`draw_form.lately`); such families come less. Reads nothing and
    keeps nothing: do it before the unit that opens the sitting.
    """
    short = unmet(bank, method)
    if short:
        raise InputProblem(
            f"there are too few questions: {'; '.join(short)}", method, "Ask your instructor."
        )
    sitting_id = new_id()
    form = form_of(bank, method, seen, Draw("sitting", sitting_id))
    items = fresh_items(bank, sitting_id, form.families, MAIN, 1)
    return Prepared(sitting_id, FULL, blueprint_of(bank, method), items, wanted(bank, method).moved)


def fresh_items(
    bank: Bank, sitting_id: str, family_ids: Sequence[str], phase: str, first: int
) -> tuple[dict[str, Any], ...]:
    """Rows of newly generated items, no two with the same words where that can be helped."""
    rows: list[dict[str, Any]] = []
    seen: set[str] = set()
    for position, family in enumerate(family_ids, first):
        draw = Draw("sitting item", sitting_id, position)
        item = generate(bank, family, draw.below(SEEDS), LEVEL)
        for _ in range(TRIES):
            if item.stem not in seen:
                break
            item = generate(bank, family, draw.below(SEEDS), LEVEL)
        seen.add(item.stem)
        rows.append(
            {
                "sitting_id": sitting_id,
                "position": position,
                "phase": phase,
                "family": family,
                "kept": as_kept(item),
                "answer": None,
                "saved_at": None,
                "flagged": False,
            }
        )
    return tuple(rows)


def with_difficulty(unit: Unit, items: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The rows with what the calibration in use says of each; the sitting is read by that."""
    found = in_use(unit, [item["family"] for item in items])
    kept = to_keep([from_kept(item["kept"]) for item in items], found)
    return [item | {"difficulty": difficulty} for item, difficulty in zip(items, kept, strict=True)]


def fingerprint(items: Sequence[Mapping[str, Any]]) -> str:
    """SHA-256 over every item of the form as it is kept, in order."""
    kept = [item["kept"] for item in items]
    text = json.dumps(kept, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def state_of(unit: Unit, sitting_id: str, now: datetime) -> str:
    """A sitting of the viewer is 'done', 'paused', 'open', or 'lapsed': over, grace included."""
    sitting = sittings.own(unit, sitting_id)
    clock = clock_of(sitting)
    if sitting.state == DONE:
        return "done"
    if clock.stands_still(now):
        return "paused"
    return "lapsed" if now > clock.end(now) + GRACE else "open"


def under_way(unit: Unit) -> SittingRow | None:
    """A sitting of the viewer that is not finished, whether paused or over its time; or None."""
    return next(iter(sittings.open_of(unit, unit.viewer.person_id)), None)


def page(unit: Unit, sitting_id: str, number: int | None, now: datetime) -> Page:
    """A sitting of the viewer at a question of its present part.

    Where none is named: the one looked at last, else the first open one. Raises NotFound, also
    while it is paused and once it is done.
    """
    sitting = sittings.own(unit, sitting_id)
    clock = clock_of(sitting)
    if sitting.state == DONE or clock.stands_still(now):
        raise NotFound
    places = places_of(unit, sitting)
    here = _here(places, number, sitting.place)
    row = sittings.item(unit, sitting_id, here.position)
    return Page(sitting, places, here, question_of(row.kept, row.answer), clock, now)


def look_at(unit: Unit, sitting_id: str, number: int) -> None:
    """Remember which question of the present part the viewer looks at: they go on there."""
    sitting = sittings.own(unit, sitting_id)
    for one in places_of(unit, sitting):
        if one.number == number:
            sittings.look_at(unit, sitting_id, one.position)


def places_of(unit: Unit, sitting: SittingRow) -> tuple[Place, ...]:
    """The map of a sitting's present part."""
    rows = sittings.places(unit, sitting.id, sitting.state)
    return tuple(
        Place(row.position, number, row.saved_at is not None, row.flagged)
        for number, row in enumerate(rows, 1)
    )


def save_answer(
    unit: Unit,
    sitting_id: str,
    position: int,
    sent: Mapping[str, Sequence[str]],
    submission_id: str,
    now: datetime,
) -> None:
    """Keep an answer, in place of the one before. The same submission twice changes nothing.

    Raises NotFound, and InputProblem when it is no answer, or the time is over.
    """
    row = _open_item(unit, sitting_id, position, now)
    item = from_kept(row.kept)
    answer = type_of(item).read(sent, item)
    sittings.save(unit, sitting_id, position, submission_id or new_id(), answer, now)


def flag(unit: Unit, sitting_id: str, position: int, flagged: bool, now: datetime) -> None:
    """Mark a question to come back to, or take the mark away."""
    _open_item(unit, sitting_id, position, now)
    sittings.flag(unit, sitting_id, position, flagged)


def _open_item(unit: Unit, sitting_id: str, position: int, now: datetime) -> Any:
    sittings.hold(unit, sitting_id)
    row = sittings.item(unit, sitting_id, position)
    clock = clock_of(row)
    if row.phase != row.state or now > clock.end(now) + GRACE:
        raise InputProblem(
            "the time for this part is over, so this answer was not kept",
            "assessment",
            "What you saved before is safe.",
        )
    if clock.paused_at is not None and clock.stands_still(now) and now > clock.paused_at + GRACE:
        raise InputProblem("you are on a pause", "assessment", "Go on first, then answer.")
    return row


def _here(places: tuple[Place, ...], number: int | None, last: int | None) -> Place:
    if number is None:
        seen = [one for one in places if one.position == last]
        open_ones = [one for one in places if not one.answered]
        return (*seen, *open_ones, places[-1])[0]
    if not 1 <= number <= len(places):
        raise NotFound
    return places[number - 1]
