"""Hold a consultation: one step at a time, then the decision, then the words to the client."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from trainer.core.items.codec import from_kept
from trainer.core.items.consulting import Chair, chair
from trainer.core.items.item import Item, Option
from trainer.core.items.registry import type_of
from trainer.core.items.types.consultation import plan_in_words
from trainer.core.items.types.consultation_marks import Parts, expected, parts_of
from trainer.store import consultations, practice
from trainer.store.modules import OpenModule
from trainer.store.unit import Unit
from trainer.use_cases import practise
from trainer.use_cases.practise import CONSULTATION, Marked
from trainer.use_cases.refusals import InputProblem, NotFound


@dataclass(frozen=True, slots=True)
class Room:
    """A consultation that is going on: nothing in it that was not found yet.

    `tellings`: ways to tell the client, once the decision stands; empty before. `again`: one like
    it went wrong before. `why`: one sentence for the learner.
    """

    item_id: str
    method: str
    topic: str
    chair: Chair
    tellings: tuple[Option, ...]
    again: bool = False
    why: str = ""

    @property
    def decided(self) -> bool:
        """Whether decision and plan stand."""
        return bool(self.tellings)


@dataclass(frozen=True, slots=True)
class Held:
    """A consultation that is over: as it went, its mark, and each part of it."""

    marked: Marked
    chair: Chair
    parts: Parts
    verdicts: tuple[tuple[str, str, str], ...]
    """For each method its name, what was decided, and what was right."""
    plan_said: str
    plan_right: str
    tested: tuple[tuple[str, str], ...]
    """Methods that had to wait for want of a skin test, and what is right once it is read."""

    @property
    def untested(self) -> tuple[str, ...]:
        """Their names."""
        return tuple(name for name, _ in self.tested)


def see(unit: Unit, item_id: str) -> Room | Held:
    """A consultation of the viewer, going on or over. Raises NotFound."""
    shown = practice.shown(unit, item_id)
    item = _consultation(shown)
    found = practise.see(unit, item_id)
    if isinstance(found, Marked):
        return _held(item, found)
    row = consultations.begun(unit, item_id)
    room = _room(item_id, item, row.steps if row else [], bool(row and row.decided))
    return replace(room, again=shown.again, why=shown.why)


def take(unit: Unit, item_id: str, step: str, now: datetime) -> None:
    """Take a step. Taking it again, or after the decision, changes nothing.

    Raises NotFound for a scenario that is not the viewer's, InputProblem for an unknown step.
    """
    item = _item(unit, item_id)
    if step not in [row["id"] for row in item.givens["steps"]]:
        raise InputProblem("is no step of this consultation", "step", "Choose one of those shown.")
    if practice.response_to(unit, item_id) is not None:
        return
    row = consultations.to_change(unit, item_id, now)
    if row.decided is None and step not in row.steps:
        consultations.keep_steps(row, [*row.steps, step], now)


def decide(unit: Unit, item_id: str, sent: Mapping[str, Sequence[str]], now: datetime) -> None:
    """Let decision and plan stand. A second decision changes nothing.

    Raises NotFound, and InputProblem naming what is missing.
    """
    item = _item(unit, item_id)
    if practice.response_to(unit, item_id) is not None:
        return
    row = consultations.to_change(unit, item_id, now)
    if row.decided is not None:
        return
    own = {name: values for name, values in sent.items() if name != "words"}
    response = type_of(item).read({**own, "steps": list(row.steps)}, item)
    consultations.keep_decision(row, response, now)


def tell(unit: Unit, item_id: str, words: str, now: datetime) -> Sequence[OpenModule]:
    """Choose the words to the client, which ends the consultation. Doing so twice changes nothing.

    Gives the modules that it has just counted for.

    Raises NotFound before the decision, and InputProblem for words that were not offered.
    """
    item = _item(unit, item_id)
    if practice.response_to(unit, item_id) is not None:
        return ()
    held = consultations.to_change(unit, item_id, now)
    if held.decided is None:
        raise NotFound
    if not words:
        raise InputProblem("is not chosen", "what you say", "Choose one of the answers.")
    response = type_of(item).accept({**held.decided, "words": words}, item)
    row = practice.shown(unit, item_id)
    return practise.keep(unit, row, item, item_id, response, now).counted


def is_consultation(found: Any) -> bool:
    """Whether a scenario, open or answered, is a consultation."""
    kind = found.item.heading.type if isinstance(found, Marked) else found.type
    return bool(kind == CONSULTATION)


def _item(unit: Unit, item_id: str) -> Item:
    return _consultation(practice.shown(unit, item_id))


def _consultation(shown: Any) -> Item:
    item = from_kept(shown.kept)
    if item.heading.type != CONSULTATION:
        raise NotFound
    return item


def _held(item: Item, marked: Marked) -> Held:
    response, key = marked.response, item.key
    due, names = expected(item, response["findings"]), item.givens["names"]
    return Held(
        marked,
        chair(item, response["findings"]),
        parts_of(item, response),
        tuple((name, response["decision"][m], due[m]) for m, name in names.items()),
        plan_in_words(item, response["plan"]),
        plan_in_words(item, key["plan"]),
        tuple((names[m], right) for m, right in key["decision"].items() if due[m] != right),
    )


def _room(item_id: str, item: Item, steps: Sequence[str], decided: bool) -> Room:
    heading = item.heading
    tellings = item.options if decided else ()
    return Room(item_id, heading.method, heading.topic, chair(item, steps), tellings)
