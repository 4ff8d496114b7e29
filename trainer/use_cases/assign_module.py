"""Build a module, assign it, move its due day, close it; and see who is how far."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.marking.module import STATES, Progress, State, most_pressing, progress
from trainer.core.scenarios.case import LEVELS
from trainer.core.scenarios.family import families
from trainer.store import modules, people
from trainer.store.base import new_id
from trainer.store.modules import ModuleRow
from trainer.store.unit import Unit
from trainer.use_cases.refusals import InputProblem, NotFound

SHORTEST, LONGEST = 5, 200
LONGEST_TITLE = 120
FARTHEST = timedelta(days=366)
CLOSED_PAGE = 20


@dataclass(frozen=True, slots=True)
class Wish:
    """What an instructor asks for. `title` and `level` may be ''.

    `before_assessment`: whoever has it must have done it before they ask to sit its methods.
    """

    title: str
    methods: Sequence[str]
    topics: Sequence[str]
    length: int
    due_on: date
    level: str = ""
    group_ids: Sequence[str] = ()
    person_ids: Sequence[str] = ()
    submission_id: str = ""
    before_assessment: bool = False


@dataclass(frozen=True, slots=True)
class Learner:
    """One person who has a module."""

    person_id: str
    name: str
    progress: Progress
    last_at: datetime | None


@dataclass(frozen=True, slots=True)
class Module:
    """A module with everybody who has it, the most pressing first."""

    id: str
    title: str
    methods: tuple[str, ...]
    topics: tuple[str, ...]
    length: int
    level: str
    due_on: date
    closed: bool
    learners: tuple[Learner, ...]
    groups: tuple[str, ...] = ()

    @property
    def counts(self) -> Mapping[State, int]:
        """How many people are in each state."""
        return Counter(one.progress.state for one in self.learners)

    @property
    def state(self) -> State:
        """The most pressing state of anybody who has it."""
        return most_pressing(one.progress for one in self.learners)


def create(
    unit: Unit, bank: Bank, wish: Wish, names: tuple[str, str], now: datetime
) -> tuple[str, bool]:
    """Keep a module and assign it: (its id, whether it is new). The same submission is kept once.

    `names`: what the module is called if `wish.title` is ''. Raises InputProblem naming the field.
    """
    unit.viewer.must_be("instructor")
    check_content(bank, wish.methods, wish.topics)
    _check_figures(wish, now)
    _check_learners(unit, wish)
    values = {
        "id": new_id(),
        "submission_id": wish.submission_id or new_id(),
        "organisation_id": unit.viewer.organisation_id,
        "title": (wish.title.strip() or ": ".join(names))[:LONGEST_TITLE],
        "methods": list(wish.methods),
        "topics": list(wish.topics),
        "length": wish.length,
        "level": wish.level,
        "due_on": wish.due_on,
        "before_assessment": wish.before_assessment,
        "created_by": unit.viewer.person_id,
        "created_at": now,
    }
    module_id, is_new = modules.keep_once(unit, values)
    if is_new:
        modules.assign(unit, module_id, wish.group_ids, wish.person_ids)
    return module_id, is_new


def check_content(bank: Bank, methods: Sequence[str], topics: Sequence[str]) -> None:
    """Every method and topic is known, and has questions together with the others.

    Raises InputProblem naming the field.
    """
    for field, ids, what in (("methods", methods, "method"), ("topics", topics, "topic")):
        if not ids:
            raise InputProblem(f"Choose at least one {what}", field, "Tick what they should do.")
    there = {(one.method, one.topic) for one in families(bank)}
    for method in methods:
        if method not in bank.methods:
            raise InputProblem(f"{method} is no method of ours", "methods", "Choose of the list.")
        if not any((method, topic) in there for topic in topics):
            name = bank.methods[method].name
            raise InputProblem(
                f"{name} has no questions on these topics",
                "topics",
                "Add a topic, or leave it out.",
            )
    for topic in topics:
        if not any((method, topic) in there for method in methods):
            raise InputProblem(
                f"There are no questions on {topic.replace('_', ' ')} for these methods",
                "topics",
                "Take another topic.",
            )


def _check_figures(wish: Wish, now: datetime) -> None:
    if not SHORTEST <= wish.length <= LONGEST:
        raise InputProblem(
            f"{wish.length} scenarios cannot be", "length", f"Give {SHORTEST} to {LONGEST}."
        )
    if wish.level and wish.level not in LEVELS:
        raise InputProblem(f"{wish.level} is no level", "level", "Choose of the list.")
    _check_due(wish.due_on, now)


def _check_due(due_on: date, now: datetime) -> None:
    if due_on < now.date():
        raise InputProblem("That day is over", "due_on", "Choose today or later.")
    if due_on > now.date() + FARTHEST:
        raise InputProblem("That is more than a year away", "due_on", "Choose a nearer day.")


def _check_learners(unit: Unit, wish: Wish) -> None:
    if not (wish.group_ids or wish.person_ids):
        raise InputProblem("Choose a group or a person", "groups", "Somebody must get it.")
    try:
        for group_id in wish.group_ids:
            people.group(unit, group_id)
    except NotFound:
        raise InputProblem("That group is not yours", "groups", "Choose of the list.") from None
    here = {row.id for row, _ in people.members(unit, "apprentice")}
    if not set(wish.person_ids) <= here:
        raise InputProblem("Somebody there is no apprentice here", "people", "Choose of the list.")


def change_due(unit: Unit, module_id: str, due_on: date, now: datetime) -> None:
    """Move the due day of an open module. Raises NotFound, InputProblem."""
    unit.viewer.must_be("instructor")
    row = modules.module(unit, module_id)
    if row.closed_at is not None:
        raise InputProblem("This module is closed", "due_on", "Make a new one.")
    _check_due(due_on, now)
    row.due_on = due_on
    unit.session.flush()


def close(unit: Unit, module_id: str, now: datetime) -> None:
    """Close a module: nobody is asked for it any more; what was done stays. Raises NotFound."""
    unit.viewer.must_be("instructor")
    row = modules.module(unit, module_id)
    if row.closed_at is None:
        row.closed_at = now
        unit.session.flush()


def list_open(unit: Unit, now: datetime) -> list[Module]:
    """The open modules of the organisation, the most pressing first."""
    unit.viewer.must_be("instructor")
    found = _with_learners(unit, modules.open_ones(unit), now)
    return sorted(found, key=lambda one: (STATES.index(one.state), one.due_on))


def list_closed(unit: Unit, before: str, now: datetime) -> tuple[list[Module], str]:
    """A page of closed modules, latest first, and the place of the next page ('' at the end)."""
    unit.viewer.must_be("instructor")
    place = modules.module(unit, before) if before else None
    if place is not None and place.closed_at is None:
        raise NotFound
    rows = modules.closed_ones(unit, place, CLOSED_PAGE + 1)
    after = rows[CLOSED_PAGE - 1].id if len(rows) > CLOSED_PAGE else ""
    return _with_learners(unit, rows[:CLOSED_PAGE], now), after


def see(unit: Unit, module_id: str, now: datetime) -> Module:
    """One module with everybody's progress. Raises NotFound."""
    unit.viewer.must_be("instructor")
    row = modules.module(unit, module_id)
    names = {one.id: one.name for one in people.groups(unit)}
    groups = tuple(sorted(names[g] for g in modules.groups_with(unit, module_id) if g in names))
    return _module(row, modules.assigned(unit, [module_id]), now, groups)


def choices(unit: Unit) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Who may be given work: groups with anybody in them, and apprentices, as (id, name)."""
    unit.viewer.must_be("instructor")
    apprentices = [(row.id, row.name) for row, _ in people.members(unit, "apprentice")]
    return [(row.id, row.name) for row in people.groups(unit)], apprentices


def _with_learners(unit: Unit, rows: Sequence[ModuleRow], now: datetime) -> list[Module]:
    by_module: dict[str, list[Any]] = {row.id: [] for row in rows}
    for one in modules.assigned(unit, list(by_module)):
        by_module[one.module_id].append(one)
    return [_module(row, by_module[row.id], now) for row in rows]


def _module(
    row: ModuleRow, assigned: Sequence[Any], now: datetime, groups: tuple[str, ...] = ()
) -> Module:
    learners = [
        Learner(
            one.person_id,
            one.name,
            progress(one.answered, one.right, row.length, row.due_on, now.date()),
            one.last_at,
        )
        for one in assigned
    ]
    learners.sort(key=lambda one: STATES.index(one.progress.state))
    return Module(
        row.id,
        row.title,
        tuple(row.methods),
        tuple(row.topics),
        row.length,
        row.level,
        row.due_on,
        row.closed_at is not None,
        tuple(learners),
        groups,
    )
