"""Top-ups on changed facts: what a house asks, who holds records from before, how far each is."""

from collections.abc import Collection, Sequence
from datetime import date, datetime
from typing import Any

from sqlalchemy import (
    ColumnElement,
    ForeignKey,
    Select,
    UniqueConstraint,
    bindparam,
    false,
    func,
    or_,
    select,
)
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store import fact_changes, standings
from trainer.store.base import Base, Id, new_id
from trainer.store.people import MEMBERSHIPS
from trainer.store.practice import RESPONSES
from trainer.store.statements import Found, connection, inserting
from trainer.store.top_up_items import TopUpItemRow
from trainer.store.unit import Unit


class TopUpRow(Base):
    """What a house asks of holders after a change: `length` questions by a day.

    `required`: whoever has not finished by then is cleared under supervision only.
    """

    __tablename__ = "top_ups"
    __table_args__ = (UniqueConstraint("organisation_id", "change_id"),)
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    change_id: Mapped[str] = mapped_column(ForeignKey("fact_changes.id"))
    length: Mapped[int]
    due_on: Mapped[date]
    required: Mapped[bool] = mapped_column(default=False, server_default=false())
    offered_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    offered_at: Mapped[datetime]


class TopUpPersonRow(Base):
    """How far a person is with the top-up on a change, whichever house asked for it.

    `right`: questions whose latest answer is right, of `length`; `done_on` once that is all.
    """

    __tablename__ = "top_up_people"
    change_id: Mapped[str] = mapped_column(ForeignKey("fact_changes.id"), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True, index=True)
    length: Mapped[int]
    right: Mapped[int]
    began_at: Mapped[datetime]
    done_on: Mapped[date | None]


TOP_UPS, PEOPLE, ITEMS = (row.__table__ for row in (TopUpRow, TopUpPersonRow, TopUpItemRow))
CHANGES, STANDINGS, MEMBER = fact_changes.TABLE, standings.TABLE, MEMBERSHIPS.c
HERE = (
    select(
        TOP_UPS.c.change_id,
        TOP_UPS.c.length,
        TOP_UPS.c.due_on,
        TOP_UPS.c.required,
        CHANGES.c.before,
        CHANGES.c.after,
        CHANGES.c.at,
        CHANGES.c.methods,
        CHANGES.c.service,
    )
    .join(CHANGES, CHANGES.c.id == TOP_UPS.c.change_id)
    .where(TOP_UPS.c.organisation_id == bindparam("place"), CHANGES.c.overtaken_at.is_(None))
    .order_by(TOP_UPS.c.due_on, TOP_UPS.c.change_id)
)
DONE = select(PEOPLE.c.change_id, PEOPLE.c.person_id, PEOPLE.c.done_on).where(
    PEOPLE.c.person_id.in_(bindparam("people", expanding=True)),
    PEOPLE.c.change_id.in_(bindparam("changes", expanding=True)),
    PEOPLE.c.done_on.is_not(None),
)
"""Both built once: the desk asks with every answer."""


def here(unit: Unit) -> Sequence[Found]:
    """What the viewer's organisation asks, each with its change, the first day first."""
    return connection(unit).execute(HERE, {"place": unit.viewer.organisation_id}).all()


def done(
    unit: Unit, person_ids: Collection[str], change_ids: Collection[str]
) -> dict[tuple[str, str], date]:
    """(change, person) -> the day on which it was finished."""
    asked = {"people": list(person_ids), "changes": list(change_ids)}
    rows = connection(unit).execute(DONE, asked)
    return {(row.change_id, row.person_id): row.done_on for row in rows}


def offered(unit: Unit, change_id: str, to_change: bool = False) -> TopUpRow | None:
    """What the viewer's organisation asks after a change, or None."""
    chosen = select(TopUpRow).where(
        TopUpRow.organisation_id == unit.viewer.organisation_id, TopUpRow.change_id == change_id
    )
    return unit.session.scalar(chosen.with_for_update() if to_change else chosen)


def offer(unit: Unit, values: dict[str, Any]) -> bool:
    """Keep what the viewer's organisation asks; False where it asked already."""
    place = {"id": new_id(), "organisation_id": unit.viewer.organisation_id}
    statement = inserting(unit, TopUpRow).values(values | place).on_conflict_do_nothing()
    return unit.session.execute(statement.returning(TopUpRow.id)).first() is not None


def carry_over(unit: Unit, before: Sequence[str], change_id: str, first_day: date) -> None:
    """Let what any house asked after earlier changes of a fact be asked after its latest.

    Nobody has less time than until `first_day`.
    """
    rows = unit.session.scalars(select(TopUpRow).where(TopUpRow.change_id.in_(list(before))))
    for row in rows:
        row.change_id = change_id
        row.due_on = max(row.due_on, first_day)
    unit.session.flush()


def holders(
    unit: Unit,
    change: fact_changes.FactChangeRow,
    today: date,
    after: tuple[str, str] | None,
    count: int,
) -> Sequence[Found]:
    """Members whose record in force leans on the old words, by name and id from a place on.

    A row each: id, name, and how far they are: length, right, done_on (None where not begun).
    """
    theirs = (PEOPLE.c.person_id == MEMBER.person_id) & (PEOPLE.c.change_id == change.id)
    chosen = (
        select(
            MEMBER.person_id.label("id"),
            MEMBER.called.label("name"),
            PEOPLE.c.length,
            PEOPLE.c.right,
            PEOPLE.c.done_on,
        )
        .select_from(MEMBERSHIPS.outerjoin(PEOPLE, theirs))
        .where(*_holds(unit, change, today))
        .order_by(MEMBER.called, MEMBER.person_id)
    )
    if after is not None:
        name, person_id = after
        here = MEMBER.called
        chosen = chosen.where((here > name) | ((here == name) & (MEMBER.person_id > person_id)))
    return connection(unit).execute(chosen.limit(count)).all()


def records_of(
    unit: Unit, change: fact_changes.FactChangeRow, today: date, person_ids: Collection[str]
) -> Sequence[Found]:
    """The records of these people that lean on the old words: person_id, method, record_id, day,
    taken_on."""
    leaning = _leaning(change, today, of_member=False)
    chosen = leaning.add_columns(
        STANDINGS.c.method, STANDINGS.c.record_id, STANDINGS.c.day, STANDINGS.c.taken_on
    ).where(STANDINGS.c.person_id.in_(list(person_ids)))
    return connection(unit).execute(chosen.order_by(STANDINGS.c.method)).all()


def count_holders(
    unit: Unit, change: fact_changes.FactChangeRow, today: date, finished: bool = False
) -> int:
    """How many members hold such records; only those who have finished the top-up if asked for."""
    chosen = select(func.count()).select_from(MEMBERSHIPS).where(*_holds(unit, change, today))
    if finished:
        theirs = (PEOPLE.c.person_id == MEMBER.person_id) & (PEOPLE.c.change_id == change.id)
        chosen = chosen.join(PEOPLE, theirs).where(PEOPLE.c.done_on.is_not(None))
    return connection(unit).execute(chosen).scalar_one()


def anybody_left(unit: Unit, change: fact_changes.FactChangeRow, today: date) -> bool:
    """Whether a member holds such records who has not finished the top-up: the first will do."""
    theirs = (PEOPLE.c.person_id == MEMBER.person_id) & (PEOPLE.c.change_id == change.id)
    chosen = select(MEMBER.person_id).select_from(MEMBERSHIPS.outerjoin(PEOPLE, theirs))
    chosen = chosen.where(*_holds(unit, change, today), PEOPLE.c.done_on.is_(None))
    return connection(unit).execute(chosen.limit(1)).first() is not None


def _holds(
    unit: Unit, change: fact_changes.FactChangeRow, today: date
) -> tuple[ColumnElement[bool], ...]:
    return (
        MEMBER.organisation_id == unit.viewer.organisation_id,
        MEMBER.ended_at.is_(None),
        _leaning(change, today).exists(),
    )


def _leaning(
    change: fact_changes.FactChangeRow, today: date, of_member: bool = True
) -> Select[Any]:
    """Standings that rest on a record in force whose assessment was begun on the old words.

    The same as the core's `leaned_on`, for the database.
    """
    since = change.at.date()
    taken = STANDINGS.c.taken_on
    chosen = select(STANDINGS.c.person_id).where(
        STANDINGS.c.method.in_(change.methods),
        STANDINGS.c.service == change.service,
        STANDINGS.c.word == "competent",
        STANDINGS.c.day >= today,
        or_(taken.is_(None), taken <= since),
    )
    return chosen.where(STANDINGS.c.person_id == MEMBER.person_id) if of_member else chosen


def begin(unit: Unit, values: dict[str, Any]) -> None:
    """Note that the viewer has begun a top-up; a second time changes nothing."""
    statement = inserting(unit, TopUpPersonRow).values(
        values | {"person_id": unit.viewer.person_id, "right": 0}
    )
    unit.session.execute(statement.on_conflict_do_nothing())


def how_far(unit: Unit, change_id: str, to_change: bool = False) -> TopUpPersonRow | None:
    """How far the viewer is, or None where they have not begun."""
    key = (change_id, unit.viewer.person_id)
    return unit.session.get(TopUpPersonRow, key, with_for_update=to_change or None)


def all_mine(unit: Unit) -> Sequence[TopUpPersonRow]:
    """Every top-up that the viewer has begun."""
    return unit.session.scalars(
        select(TopUpPersonRow).where(TopUpPersonRow.person_id == unit.viewer.person_id)
    ).all()


def questions(unit: Unit, change_id: str) -> Sequence[Found]:
    """The viewer's questions, in order: position, item_id, family, and right (None: no answer)."""
    from_items = ITEMS.outerjoin(RESPONSES, RESPONSES.c.item_id == ITEMS.c.item_id)
    chosen = (
        select(ITEMS.c.position, ITEMS.c.item_id, ITEMS.c.family, RESPONSES.c.right)
        .select_from(from_items)
        .where(ITEMS.c.change_id == change_id, ITEMS.c.person_id == unit.viewer.person_id)
        .order_by(ITEMS.c.position)
    )
    return connection(unit).execute(chosen).all()


def put(unit: Unit, change_id: str, position: int, family: str, item_id: str) -> None:
    """Put a shown scenario in a place of the viewer's top-up, instead of what stood there."""
    statement = inserting(unit, TopUpItemRow).values(
        change_id=change_id,
        person_id=unit.viewer.person_id,
        position=position,
        family=family,
        item_id=item_id,
    )
    unit.session.execute(
        statement.on_conflict_do_update(
            index_elements=["change_id", "person_id", "position"],
            set_={"family": family, "item_id": item_id},
        )
    )
