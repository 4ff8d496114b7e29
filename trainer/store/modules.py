"""Modules, whom they are assigned to, and how far each person is."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, and_, bindparam, false, func, or_, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.people import GroupMemberRow, MembershipRow, PersonRow
from trainer.store.statements import Found, connection, inserting
from trainer.store.unit import Unit


class ModuleRow(Base):
    """Scenarios to answer by a day: `length` of them, on these methods and topics.

    `level` is '' where each person gets what suits them. `before_assessment`: nobody who has it may
    ask to sit an assessment of its methods before it is done.
    """

    __tablename__ = "modules"
    __table_args__ = (
        Index("ix_modules_organisation_id_closed_at", "organisation_id", "closed_at"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    submission_id: Mapped[str] = mapped_column(unique=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    title: Mapped[str]
    methods: Mapped[list[str]]
    topics: Mapped[list[str]]
    length: Mapped[int]
    level: Mapped[str]
    due_on: Mapped[date]
    created_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    created_at: Mapped[datetime]
    closed_at: Mapped[datetime | None]
    before_assessment: Mapped[bool] = mapped_column(default=False, server_default=false())


class ModuleGroupRow(Base):
    """A module assigned to a group: to whoever is in it."""

    __tablename__ = "module_groups"
    module_id: Mapped[str] = mapped_column(ForeignKey("modules.id"), primary_key=True)
    group_id: Mapped[str] = mapped_column(ForeignKey("groups.id"), primary_key=True, index=True)


class ModulePersonRow(Base):
    """A module assigned to one person."""

    __tablename__ = "module_people"
    module_id: Mapped[str] = mapped_column(ForeignKey("modules.id"), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True, index=True)


class ModuleProgressRow(Base):
    """How far a person is with a module: a summary, kept as answers arrive."""

    __tablename__ = "module_progress"
    module_id: Mapped[str] = mapped_column(ForeignKey("modules.id"), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True, index=True)
    answered: Mapped[int]
    right: Mapped[int]
    last_at: Mapped[datetime]


@dataclass(frozen=True, slots=True)
class OpenModule:
    """What is still to do for one person."""

    id: str
    title: str
    methods: tuple[str, ...]
    topics: tuple[str, ...]
    length: int
    level: str
    due_on: date
    answered: int
    right: int

    @property
    def done(self) -> bool:
        """Whether everything it asks for is answered."""
        return self.answered >= self.length


MODULES, PROGRESS = ModuleRow.__table__, ModuleProgressRow.__table__
BY_NAME, BY_GROUP = ModulePersonRow.__table__, ModuleGroupRow.__table__
IN_GROUP = GroupMemberRow.__table__
DONE = func.coalesce(PROGRESS.c.answered, 0)
ASSIGNED = and_(
    MODULES.c.organisation_id == bindparam("organisation"),
    or_(
        MODULES.c.id.in_(
            select(BY_NAME.c.module_id).where(BY_NAME.c.person_id == bindparam("person"))
        ),
        MODULES.c.id.in_(
            select(BY_GROUP.c.module_id)
            .join(IN_GROUP, IN_GROUP.c.group_id == BY_GROUP.c.group_id)
            .where(IN_GROUP.c.person_id == bindparam("person"))
        ),
    ),
)
OPEN = and_(ASSIGNED, MODULES.c.closed_at.is_(None), MODULES.c.length > DONE)
WITH_PROGRESS = MODULES.outerjoin(
    PROGRESS,
    (PROGRESS.c.module_id == MODULES.c.id) & (PROGRESS.c.person_id == bindparam("person")),
)
OPEN_FOR = (
    select(
        MODULES.c.id,
        MODULES.c.title,
        MODULES.c.methods,
        MODULES.c.topics,
        MODULES.c.length,
        MODULES.c.level,
        MODULES.c.due_on,
        DONE.label("answered"),
        func.coalesce(PROGRESS.c.right, 0).label("right"),
    )
    .select_from(WITH_PROGRESS)
    .where(OPEN)
    .order_by(MODULES.c.due_on, MODULES.c.id)
)
BEFORE_ASSESSMENT = (
    select(MODULES.c.title, MODULES.c.methods, MODULES.c.length, DONE.label("answered"))
    .select_from(WITH_PROGRESS)
    .where(
        ASSIGNED,
        MODULES.c.before_assessment,
        or_(MODULES.c.closed_at.is_(None), MODULES.c.length <= DONE),
    )
    .order_by(MODULES.c.due_on, MODULES.c.id)
)
ANY_OPEN = select(MODULES.c.id).select_from(WITH_PROGRESS).where(OPEN).exists()
"""Built once: every answer asks whether any is open. Bound: person, organisation."""


def open_for(unit: Unit, person_id: str) -> list[OpenModule]:
    """What the viewer's organisation has assigned to a person and is not done, due first."""
    wanted = {"person": person_id, "organisation": unit.viewer.organisation_id}
    rows = connection(unit).execute(OPEN_FOR, wanted)
    return [
        OpenModule(**{**row._mapping, "methods": tuple(row.methods), "topics": tuple(row.topics)})
        for row in rows
    ]


def before_assessment(unit: Unit, person_id: str, method: str) -> list[Found]:
    """Modules of a method that the viewer's organisation set before a person's assessment.

    title, methods, length, answered; without those that were closed undone.
    """
    wanted = {"person": person_id, "organisation": unit.viewer.organisation_id}
    rows = connection(unit).execute(BEFORE_ASSESSMENT, wanted)
    return [row for row in rows if method in row.methods]


def count(
    unit: Unit, person_id: str, method: str, topic: str, right: bool, now: datetime
) -> list[OpenModule]:
    """Count one answer in every open module that asks for it; gives them back with it counted.

    Call it once for each answer kept, in the same unit.
    """
    found = [
        replace(one, answered=one.answered + 1, right=one.right + int(right))
        for one in open_for(unit, person_id)
        if method in one.methods and topic in one.topics
    ]
    for one in found:
        statement = inserting(unit, ModuleProgressRow).values(
            module_id=one.id,
            person_id=person_id,
            answered=1,
            right=int(right),
            last_at=now,
        )
        unit.session.execute(
            statement.on_conflict_do_update(
                index_elements=["module_id", "person_id"],
                set_={
                    "answered": ModuleProgressRow.answered + 1,
                    "right": ModuleProgressRow.right + int(right),
                    "last_at": now,
                },
            )
        )
    return found


def keep_once(unit: Unit, values: dict[str, Any]) -> tuple[str, bool]:
    """Keep a new module: (its id, True), or (the id of the one of that submission, False)."""
    statement = inserting(unit, ModuleRow).values(values).on_conflict_do_nothing()
    is_new = unit.session.execute(statement.returning(ModuleRow.id)).first() is not None
    there = unit.session.scalar(
        select(ModuleRow).where(ModuleRow.submission_id == values["submission_id"])
    )
    if there is None:
        raise NotFound
    unit.viewer.must_see(there.organisation_id)
    return there.id, is_new


def assign(unit: Unit, module_id: str, group_ids: Sequence[str], person_ids: Sequence[str]) -> None:
    """Assign a module to groups and people, in addition to whom it has already."""
    for table, column, ids in (
        (ModuleGroupRow, "group_id", group_ids),
        (ModulePersonRow, "person_id", person_ids),
    ):
        rows = [{"module_id": module_id, column: one} for one in dict.fromkeys(ids)]
        if rows:
            unit.session.execute(inserting(unit, table).values(rows).on_conflict_do_nothing())


def module(unit: Unit, module_id: str) -> ModuleRow:
    """A module of the viewer's organisation. Raises NotFound."""
    return unit.ours(ModuleRow, module_id)


def open_ones(unit: Unit) -> Sequence[ModuleRow]:
    """The modules of the viewer's organisation that are open, due first."""
    return unit.session.scalars(
        select(ModuleRow)
        .where(
            ModuleRow.organisation_id == unit.viewer.organisation_id,
            ModuleRow.closed_at.is_(None),
        )
        .order_by(ModuleRow.due_on, ModuleRow.id)
    ).all()


def closed_ones(unit: Unit, before: ModuleRow | None, most: int) -> Sequence[ModuleRow]:
    """The modules of the viewer's organisation that were closed, latest first, from one on."""
    chosen = select(ModuleRow).where(
        ModuleRow.organisation_id == unit.viewer.organisation_id,
        ModuleRow.closed_at.is_not(None),
    )
    if before is not None:
        chosen = chosen.where(
            (ModuleRow.closed_at < before.closed_at)
            | ((ModuleRow.closed_at == before.closed_at) & (ModuleRow.id < before.id))
        )
    latest = chosen.order_by(ModuleRow.closed_at.desc(), ModuleRow.id.desc())
    return unit.session.scalars(latest.limit(most)).all()


def assigned(unit: Unit, module_ids: Sequence[str]) -> Sequence[Found]:
    """Who has which module, and how far they are: module_id, person_id, name, answered, right,
    last_at. Members of the viewer's organisation today, by name, each once."""
    ids = list(module_ids)
    by_group = (
        select(ModuleGroupRow.module_id, GroupMemberRow.person_id)
        .join(GroupMemberRow, GroupMemberRow.group_id == ModuleGroupRow.group_id)
        .where(ModuleGroupRow.module_id.in_(ids) if ids else false())
    )
    by_name = select(ModulePersonRow.module_id, ModulePersonRow.person_id).where(
        ModulePersonRow.module_id.in_(ids) if ids else false()
    )
    who = by_group.union(by_name).subquery()
    return unit.session.execute(
        select(
            who.c.module_id,
            who.c.person_id,
            PersonRow.name,
            func.coalesce(ModuleProgressRow.answered, 0).label("answered"),
            func.coalesce(ModuleProgressRow.right, 0).label("right"),
            ModuleProgressRow.last_at,
        )
        .join(PersonRow, PersonRow.id == who.c.person_id)
        .join(
            MembershipRow,
            (MembershipRow.person_id == who.c.person_id)
            & (MembershipRow.organisation_id == unit.viewer.organisation_id)
            & MembershipRow.ended_at.is_(None),
        )
        .outerjoin(
            ModuleProgressRow,
            (ModuleProgressRow.module_id == who.c.module_id)
            & (ModuleProgressRow.person_id == who.c.person_id),
        )
        .order_by(PersonRow.name, who.c.person_id)
    ).all()


def groups_with(unit: Unit, module_id: str) -> Sequence[str]:
    """The ids of the groups that a module is assigned to."""
    return unit.session.scalars(
        select(ModuleGroupRow.group_id).where(ModuleGroupRow.module_id == module_id)
    ).all()
