"""Where an organisation's statements are to be sent, and those that wait to be."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, ForeignKey, Index, Text, func, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base
from trainer.store.statements import inserting
from trainer.store.unit import Unit


class StatementTargetRow(Base):
    """An organisation's store of statements elsewhere. Its secret is not kept here.

    `told_until`: what happened before that moment waits here or was sent. `failures` in a row,
    with the words of the last one; not before `next_try_at` again.
    """

    __tablename__ = "statement_targets"
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), primary_key=True)
    address: Mapped[str] = mapped_column(Text)
    name: Mapped[str] = mapped_column(Text)
    is_on: Mapped[bool]
    told_until: Mapped[datetime]
    sent_at: Mapped[datetime | None]
    failures: Mapped[int] = mapped_column(default=0)
    said: Mapped[str] = mapped_column(Text, default="")
    next_try_at: Mapped[datetime | None]


class OutgoingStatementRow(Base):
    """One statement on its way: sent, refused, or neither yet. `number` is the order of sending."""

    __tablename__ = "outgoing_statements"
    __table_args__ = (
        Index("ix_outgoing_statements_waiting", "organisation_id", "sent_at", "refused", "number"),
    )
    id: Mapped[str] = mapped_column(primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    number: Mapped[int]
    statement: Mapped[Any] = mapped_column(JSON(none_as_null=True), nullable=True)
    sent_at: Mapped[datetime | None]
    refused: Mapped[str] = mapped_column(Text, default="")


def target(unit: Unit) -> StatementTargetRow | None:
    """The store of the viewer's organisation, if it has named one."""
    return unit.session.get(StatementTargetRow, unit.viewer.organisation_id)


def targets_on(unit: Unit) -> Sequence[str]:
    """The organisations whose sending is on; for whoever runs the machine."""
    chosen = select(StatementTargetRow.organisation_id).where(StatementTargetRow.is_on)
    return unit.session.scalars(chosen.order_by(StatementTargetRow.organisation_id)).all()


def keep_target(unit: Unit, row: StatementTargetRow) -> None:
    """Name a store, or another in the place of the one before."""
    unit.session.merge(row)
    unit.session.flush()


def put_down(unit: Unit, statements: Iterable[dict[str, Any]]) -> int:
    """Put statements down to be sent, each once; gives how many are new."""
    here = unit.viewer.organisation_id
    last = unit.session.scalar(
        select(func.max(OutgoingStatementRow.number)).where(
            OutgoingStatementRow.organisation_id == here
        )
    )
    number, new = last or 0, 0
    for one in statements:
        number += 1
        row = {"id": one["id"], "organisation_id": here, "number": number, "statement": one}
        statement = inserting(unit, OutgoingStatementRow).values(row | {"refused": ""})
        kept = statement.on_conflict_do_nothing().returning(OutgoingStatementRow.id)
        new += unit.session.execute(kept).first() is not None
    return new


def waiting(unit: Unit, count: int) -> Sequence[OutgoingStatementRow]:
    """The first that wait, in the order in which they were put down."""
    return unit.session.scalars(
        select(OutgoingStatementRow)
        .where(*_waits(unit))
        .order_by(OutgoingStatementRow.number)
        .limit(count)
    ).all()


def note(unit: Unit, sent: Sequence[str], refused: Mapping[str, str], now: datetime) -> None:
    """Keep which were taken, and which were refused and why. Of those taken only the id stays."""
    for one in sent:
        row = unit.session.get_one(OutgoingStatementRow, one)
        row.sent_at, row.statement = now, None
    for one, why in refused.items():
        unit.session.get_one(OutgoingStatementRow, one).refused = why


def counted(unit: Unit) -> tuple[int, int]:
    """How many wait, and how many were refused."""
    here = OutgoingStatementRow.organisation_id == unit.viewer.organisation_id
    all_of = select(func.count()).select_from(OutgoingStatementRow)
    waits = unit.session.scalar(all_of.where(*_waits(unit)))
    refused = unit.session.scalar(all_of.where(here, OutgoingStatementRow.refused != ""))
    return waits or 0, refused or 0


def _waits(unit: Unit) -> tuple[Any, ...]:
    return (
        OutgoingStatementRow.organisation_id == unit.viewer.organisation_id,
        OutgoingStatementRow.sent_at.is_(None),
        OutgoingStatementRow.refused == "",
    )
