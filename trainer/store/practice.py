"""What was shown in practice, as it was shown, and what was answered."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, ForeignKey, Index, Select, bindparam, false, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.memories import TABLE as MEMORIES
from trainer.store.modules import ANY_OPEN
from trainer.store.statements import Found, built_once, connection, inserting
from trainer.store.top_up_items import TABLE as TOP_UP_ITEMS
from trainer.store.unit import Unit


class ShownItemRow(Base):
    """A scenario as one person saw it. `kept` is all of it, key and reasons too.

    `content`: a fingerprint of what it decides about, '' where it is not known. `again`: it came
    back because one like it went wrong. `difficulty`: {a, b, b_sd} that it went by when it was
    shown, None where only its features were known. `why`: why it was chosen, in one sentence.
    """

    __tablename__ = "shown_items"
    __table_args__ = (Index("ix_shown_items_person_id_shown_at", "person_id", "shown_at", "id"),)
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    topic: Mapped[str]
    family: Mapped[str]
    kept: Mapped[dict[str, Any]]
    shown_at: Mapped[datetime]
    content: Mapped[str] = mapped_column(server_default="")
    again: Mapped[bool] = mapped_column(server_default=false())
    why: Mapped[str] = mapped_column(server_default="")
    difficulty: Mapped[Any] = mapped_column(JSON(none_as_null=True), nullable=True)


class ResponseRow(Base):
    """One answer to one shown scenario: a second is never kept."""

    __tablename__ = "responses"
    __table_args__ = (
        Index("ix_responses_person_id_answered_at", "person_id", "answered_at", "item_id"),
        Index("ix_responses_organisation_id_answered_at", "organisation_id", "answered_at"),
    )
    item_id: Mapped[str] = mapped_column(ForeignKey("shown_items.id"), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    topic: Mapped[str]
    family: Mapped[str]
    response: Mapped[Any] = mapped_column(JSON)
    score: Mapped[float]
    right: Mapped[bool]
    critical_error: Mapped[bool]
    misconceptions: Mapped[list[str]]
    wrong: Mapped[list[str]]
    answered_at: Mapped[datetime]


class WrongIdeaRow(Base):
    """How often a person's answers showed a misconception: a summary, kept as answers arrive."""

    __tablename__ = "wrong_ideas"
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), primary_key=True)
    method: Mapped[str] = mapped_column(primary_key=True)
    misconception: Mapped[str] = mapped_column(primary_key=True)
    topic: Mapped[str]
    times: Mapped[int]
    last_at: Mapped[datetime]


ITEMS, RESPONSES, IDEAS = (row.__table__ for row in (ShownItemRow, ResponseRow, WrongIdeaRow))
OF_ITEM = (MEMORIES.c.person_id == ITEMS.c.person_id) & (MEMORIES.c.family == ITEMS.c.family)
SHOWN = (
    select(
        ITEMS.c.method,
        ITEMS.c.topic,
        ITEMS.c.kept,
        ITEMS.c.again,
        ITEMS.c.why,
        ITEMS.c.difficulty,
        MEMORIES.c.strength_days,
        MEMORIES.c.hardness,
        MEMORIES.c.recalled,
        MEMORIES.c.at,
        ANY_OPEN.label("any_module_open"),
        TOP_UP_ITEMS.c.change_id.label("top_up"),
    )
    .select_from(
        ITEMS.outerjoin(MEMORIES, OF_ITEM).outerjoin(
            TOP_UP_ITEMS, TOP_UP_ITEMS.c.item_id == ITEMS.c.id
        )
    )
    .where(ITEMS.c.id == bindparam("item"), ITEMS.c.person_id == bindparam("person"))
)
LATELY = (
    select(ITEMS.c.family, ITEMS.c.content, RESPONSES.c.right)
    .select_from(ITEMS.outerjoin(RESPONSES, RESPONSES.c.item_id == ITEMS.c.id))
    .where(ITEMS.c.person_id == bindparam("person"))
    .order_by(ITEMS.c.shown_at.desc(), ITEMS.c.id.desc())
    .limit(bindparam("count"))
)
RESPONSE_TO = select(RESPONSES.c.response, RESPONSES.c.answered_at).where(
    RESPONSES.c.item_id == bindparam("item")
)


@built_once
def _keep(insert: Any) -> Any:
    return insert(RESPONSES).on_conflict_do_nothing().returning(RESPONSES.c.item_id)


@built_once
def _note(insert: Any) -> Any:
    statement = insert(IDEAS)
    return statement.on_conflict_do_update(
        index_elements=["person_id", "organisation_id", "method", "misconception"],
        set_={"times": IDEAS.c.times + 1, "last_at": statement.excluded.last_at},
    )


def show(unit: Unit, values: dict[str, Any]) -> None:
    """Keep a scenario that is about to be shown."""
    unit.session.execute(inserting(unit, ShownItemRow).values(values))


def shown(unit: Unit, item_id: str) -> Found:
    """A scenario shown to the viewer: method, topic, kept, again, difficulty. Raises NotFound.

    With it `any_module_open`: whether the viewer has an open module, on whatever topic; `top_up`:
    the changed fact of whose top-up it is a question, or None.
    """
    viewer = unit.viewer
    wanted = {"item": item_id, "person": viewer.person_id, "organisation": viewer.organisation_id}
    row = connection(unit).execute(SHOWN, wanted).first()
    if row is None:
        raise NotFound
    return row


def keep(unit: Unit, values: dict[str, Any]) -> bool:
    """Keep an answer; False when this scenario was answered before."""
    return connection(unit).execute(_keep(unit), values).first() is not None


def response_to(unit: Unit, item_id: str) -> Found | None:
    """The answer to a shown scenario, or None: response, answered_at."""
    return connection(unit).execute(RESPONSE_TO, {"item": item_id}).first()


def note_wrong_idea(
    unit: Unit, organisation_id: str, method: str, topic: str, misconception: str, now: datetime
) -> None:
    """Count a misconception that an answer of the viewer showed."""
    connection(unit).execute(
        _note(unit),
        {
            "person_id": unit.viewer.person_id,
            "organisation_id": organisation_id,
            "method": method,
            "misconception": misconception,
            "topic": topic,
            "times": 1,
            "last_at": now,
        },
    )


def wrong_ideas(unit: Unit, person_ids: Sequence[str]) -> Sequence[WrongIdeaRow]:
    """The misconceptions of people of the viewer's organisation, most often seen first."""
    return unit.session.scalars(
        select(WrongIdeaRow)
        .where(
            WrongIdeaRow.organisation_id == unit.viewer.organisation_id,
            WrongIdeaRow.person_id.in_(list(person_ids)),
        )
        .order_by(WrongIdeaRow.times.desc(), WrongIdeaRow.last_at.desc())
    ).all()


def newest_first(
    unit: Unit, chosen: Select[*tuple[Any, ...]], before: tuple[datetime, str] | None, count: int
) -> Sequence[Found]:
    """A page of chosen answers: from one (answered_at, item_id) on, if it is named."""
    if before is not None:
        at, item_id = before
        chosen = chosen.where(
            (ResponseRow.answered_at < at)
            | ((ResponseRow.answered_at == at) & (ResponseRow.item_id < item_id))
        )
    newest = chosen.order_by(ResponseRow.answered_at.desc(), ResponseRow.item_id.desc())
    return unit.session.execute(newest.limit(count)).all()


def page_of_history(unit: Unit, before: tuple[datetime, str] | None, count: int) -> Sequence[Found]:
    """The viewer's answers, newest first, from one (answered_at, item_id) on."""
    chosen = select(
        ResponseRow.item_id,
        ResponseRow.method,
        ResponseRow.topic,
        ResponseRow.right,
        ResponseRow.critical_error,
        ResponseRow.answered_at,
    ).where(ResponseRow.person_id == unit.viewer.person_id)
    return newest_first(unit, chosen, before, count)


def lately(unit: Unit, count: int) -> Sequence[Found]:
    """The viewer's last scenarios, newest first: family, content, right (None: no answer yet)."""
    wanted = {"person": unit.viewer.person_id, "count": count}
    return connection(unit).execute(LATELY, wanted).all()
