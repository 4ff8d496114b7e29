"""One apprentice as whoever trains them sees them: standing, answers, sittings, work watched."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from trainer.core.items.codec import from_kept
from trainer.core.items.item import Item
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import OBSERVED_SERVICES
from trainer.core.marking.feedback import Feedback, feedback
from trainer.core.marking.module import Progress, progress
from trainer.store import answers, modules, people, sittings, standings
from trainer.store.sittings import SittingRow
from trainer.store.unit import Unit
from trainer.use_cases import see_records, sign_off
from trainer.use_cases.certify import Needed
from trainer.use_cases.keep_standing import words_on
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.review_cohort import Idea, gathered, wrong_ideas
from trainer.use_cases.see_competency import MethodStanding
from trainer.use_cases.see_competency import standings as standings_of

FEW, PAGE, SITTINGS = 8, 25, 10


@dataclass(frozen=True, slots=True)
class Answers:
    """A page of answers, newest first, and the place of the next page ('' at the end)."""

    rows: Sequence[Any]
    next: str


@dataclass(frozen=True, slots=True)
class Assigned:
    """A module that is still to do."""

    id: str
    title: str
    progress: Progress


@dataclass(frozen=True, slots=True)
class Member:
    """Everything on one apprentice's page. `signed`: method -> service -> word of today."""

    id: str
    name: str
    standings: tuple[MethodStanding, ...]
    signed: Mapping[str, Mapping[str, str]]
    ideas: tuple[Idea, ...]
    modules: tuple[Assigned, ...]
    sittings: tuple[SittingRow, ...]
    observations: tuple[sign_off.Line, ...]
    answers: Answers
    needed: tuple[Needed, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer as it was shown, with its key and the reason."""

    name: str
    item: Item
    feedback: Feedback
    answered_at: datetime


def see(unit: Unit, bank: Bank, person_id: str, now: datetime) -> Member:
    """An apprentice of the viewer's organisation. Raises NotFound for anybody else."""
    name = name_of(unit, person_id)
    return Member(
        person_id,
        name,
        standings_of(unit, bank, person_id),
        _signed(unit, person_id, now),
        gathered(wrong_ideas(unit, bank, {person_id: name})),
        tuple(
            Assigned(
                one.id,
                one.title,
                progress(one.answered, one.right, one.length, one.due_on, now.date()),
            )
            for one in modules.open_for(unit, person_id)
        ),
        tuple(
            row
            for row in sittings.of_person(unit, person_id, SITTINGS)
            if row.organisation_id == unit.viewer.organisation_id
        ),
        tuple(sign_off.of_person(unit, person_id)),
        page_of_answers(unit, person_id, "", FEW),
        tuple(see_records.of_person(unit, bank, person_id, now)),
    )


def page_of_answers(unit: Unit, person_id: str, before: str, count: int = PAGE) -> Answers:
    """A page of a member's answers given in the viewer's organisation. Raises NotFound."""
    name_of(unit, person_id)
    rows = answers.of_member(unit, person_id, _place(before), count + 1)
    last = rows[count - 1] if len(rows) > count else None
    return Answers(rows[:count], f"{last.answered_at.isoformat()}~{last.item_id}" if last else "")


def one_answer(unit: Unit, bank: Bank, person_id: str, item_id: str) -> Answer:
    """One answer of a member, as it was shown to them. Raises NotFound."""
    name = name_of(unit, person_id)
    row = answers.answer(unit, person_id, item_id)
    item = from_kept(row.kept)
    mark = type_of(item).mark(item, row.response)
    return Answer(name, item, feedback(bank, item, row.response, mark), row.answered_at)


def name_of(unit: Unit, person_id: str) -> str:
    """What an apprentice of the viewer's organisation is called. Raises NotFound."""
    unit.viewer.must_be("instructor")
    row, belongs = people.member(unit, person_id)
    if "apprentice" not in belongs.roles:
        raise NotFound
    return row.name


def _signed(unit: Unit, person_id: str, now: datetime) -> Mapping[str, Mapping[str, str]]:
    found: dict[str, dict[str, str]] = {}
    words = words_on(standings.of_people(unit, [person_id]), now.date())
    for (_, method, service), standing in words.items():
        if service in OBSERVED_SERVICES:
            found.setdefault(method, {})[service] = standing.word
    return found


def _place(before: str) -> tuple[datetime, str] | None:
    at, _, item_id = before.partition("~")
    if not item_id:
        return None
    try:
        return datetime.fromisoformat(at).astimezone(UTC), item_id
    except ValueError:
        raise NotFound from None
