"""Questions of sittings that learners contest, and every decision that a sitting has had."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, Text, UniqueConstraint, func, select, update
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.sittings import DONE, SittingItemRow, SittingRow
from trainer.store.statements import Found, inserting
from trainer.store.unit import Unit


class ContestRow(Base):
    """One question of one sitting, contested by whoever sat it. `upheld` is None while it waits."""

    __tablename__ = "contests"
    __table_args__ = (
        UniqueConstraint("sitting_id", "position"),
        Index("ix_contests_organisation_id_sent_at", "organisation_id", "sent_at"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    sitting_id: Mapped[str] = mapped_column(ForeignKey("sittings.id"))
    position: Mapped[int]
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    comment: Mapped[str] = mapped_column(Text)
    sent_at: Mapped[datetime]
    upheld: Mapped[bool | None]
    answer: Mapped[str] = mapped_column(Text, default="")
    answered_by: Mapped[str] = mapped_column(Id, default="")
    answered_at: Mapped[datetime | None]


class SittingDecisionRow(Base):
    """One decision on a sitting: the first, and any after a question was withdrawn."""

    __tablename__ = "sitting_decisions"
    sitting_id: Mapped[str] = mapped_column(ForeignKey("sittings.id"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    decided_at: Mapped[datetime]
    decided_by: Mapped[str] = mapped_column(Id)
    reason: Mapped[str] = mapped_column(Text)
    score: Mapped[int]
    cut: Mapped[int]
    most: Mapped[int]
    passed: Mapped[bool]
    confidence: Mapped[float]


def keep_once(unit: Unit, values: dict[str, Any]) -> bool:
    """Keep a contest; False where this question was contested before."""
    statement = inserting(unit, ContestRow).values(values).on_conflict_do_nothing()
    return unit.session.execute(statement.returning(ContestRow.id)).first() is not None


def of_sitting(unit: Unit, sitting_id: str) -> Sequence[ContestRow]:
    """The contests of a sitting, by position."""
    return unit.session.scalars(
        select(ContestRow).where(ContestRow.sitting_id == sitting_id).order_by(ContestRow.position)
    ).all()


def answered_for(unit: Unit, person_id: str, since: datetime) -> list[datetime]:
    """When contests of a person in the viewer's organisation were answered, after `since`."""
    found = unit.session.scalars(
        select(ContestRow.answered_at)
        .join(SittingRow, SittingRow.id == ContestRow.sitting_id)
        .where(
            SittingRow.person_id == person_id,
            ContestRow.organisation_id == unit.viewer.organisation_id,
            ContestRow.answered_at > since,
        )
        .order_by(ContestRow.answered_at)
    )
    return [at for at in found if at is not None]


def contest(unit: Unit, contest_id: str, to_change: bool = False) -> ContestRow:
    """A contest of the viewer's organisation. Raises NotFound."""
    return unit.ours(ContestRow, contest_id, to_change)


def latest(unit: Unit, most: int) -> Sequence[ContestRow]:
    """Contests of the viewer's organisation: those that wait first, oldest of them on top."""
    mine = select(ContestRow).where(ContestRow.organisation_id == unit.viewer.organisation_id)
    waiting = mine.where(ContestRow.answered_at.is_(None)).order_by(ContestRow.sent_at)
    done = mine.where(ContestRow.answered_at.is_not(None)).order_by(ContestRow.answered_at.desc())
    found = list(unit.session.scalars(waiting.limit(most)))
    return [*found, *unit.session.scalars(done.limit(most - len(found)))]


def waiting(unit: Unit) -> int:
    """How many contests of the viewer's organisation wait for an answer."""
    return (
        unit.session.scalar(
            select(func.count())
            .select_from(ContestRow)
            .where(
                ContestRow.organisation_id == unit.viewer.organisation_id,
                ContestRow.answered_at.is_(None),
            )
        )
        or 0
    )


def item_of(unit: Unit, sitting_id: str, position: int) -> Found:
    """A question of a sitting of the viewer's organisation: kept, answer, family, withdrawn."""
    row = unit.session.execute(
        select(
            SittingItemRow.kept,
            SittingItemRow.answer,
            SittingItemRow.family,
            SittingItemRow.withdrawn,
        )
        .join(SittingRow, SittingRow.id == SittingItemRow.sitting_id)
        .where(
            SittingItemRow.sitting_id == sitting_id,
            SittingItemRow.position == position,
            SittingRow.organisation_id == unit.viewer.organisation_id,
        )
    ).first()
    if row is None:
        raise NotFound
    return row


def alike(unit: Unit, family: str, bank_version: str) -> Sequence[Found]:
    """Where questions of a family from one version of the bank stand in the organisation's
    sittings that are done: sitting_id, position."""
    return unit.session.execute(
        select(SittingItemRow.sitting_id, SittingItemRow.position)
        .join(SittingRow, SittingRow.id == SittingItemRow.sitting_id)
        .where(
            SittingItemRow.family == family,
            SittingRow.bank_version == bank_version,
            SittingRow.organisation_id == unit.viewer.organisation_id,
            SittingRow.state == DONE,
        )
        .order_by(SittingItemRow.sitting_id, SittingItemRow.position)
    ).all()


def withdraw(unit: Unit, sitting_id: str, position: int) -> None:
    """Let a question of a sitting count no more."""
    unit.session.execute(
        update(SittingItemRow)
        .where(SittingItemRow.sitting_id == sitting_id, SittingItemRow.position == position)
        .values(withdrawn=True)
    )


def sitting_to_change(unit: Unit, sitting_id: str) -> SittingRow:
    """A sitting of the viewer's organisation, held until the unit ends. Raises NotFound."""
    return unit.ours(SittingRow, sitting_id, to_change=True)


def keep_decision(unit: Unit, row: SittingRow, reason: str, now: datetime) -> None:
    """Add the decision that a sitting stands at to its history."""
    there = unit.session.scalar(
        select(func.count())
        .select_from(SittingDecisionRow)
        .where(SittingDecisionRow.sitting_id == row.id)
    )
    unit.session.add(
        SittingDecisionRow(
            sitting_id=row.id,
            number=(there or 0) + 1,
            decided_at=now,
            decided_by=unit.viewer.person_id,
            reason=reason,
            score=row.score,
            cut=row.cut,
            most=row.most,
            passed=row.passed,
            confidence=row.confidence,
        )
    )
    unit.session.flush()


def decisions(unit: Unit, sitting_id: str) -> Sequence[SittingDecisionRow]:
    """Every decision that a sitting has had, first to last."""
    return unit.session.scalars(
        select(SittingDecisionRow)
        .where(SittingDecisionRow.sitting_id == sitting_id)
        .order_by(SittingDecisionRow.number)
    ).all()
