"""Appeals against decisions, and complaints: what was said, who answers, what they found."""

from collections.abc import Sequence
from datetime import date, datetime

from sqlalchemy import ForeignKey, Index, Select, Text, func, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.unit import Unit


class AppealRow(Base):
    """One appeal or complaint. `concerns`: ids of whom it names; `upheld` is None while it waits.

    `due_on`: the day by which it is to be answered. `remedy`: by what it was put right, '' by none.
    """

    __tablename__ = "appeals"
    __table_args__ = (
        Index("ix_appeals_organisation_id_answered_at", "organisation_id", "answered_at"),
        Index("ix_appeals_person_id", "person_id"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    submission_id: Mapped[str] = mapped_column(unique=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    about: Mapped[str]
    method: Mapped[str]
    words: Mapped[str] = mapped_column(Text)
    concerns: Mapped[list[str]]
    sent_at: Mapped[datetime]
    due_on: Mapped[date]
    taken_by: Mapped[str | None] = mapped_column(Id)
    taken_at: Mapped[datetime | None]
    upheld: Mapped[bool | None]
    answer: Mapped[str] = mapped_column(Text, default="", server_default="")
    remedy: Mapped[str] = mapped_column(default="", server_default="")
    answered_by: Mapped[str | None] = mapped_column(Id)
    answered_at: Mapped[datetime | None]


def of_submission(unit: Unit, submission_id: str) -> AppealRow | None:
    """What the viewer has sent under an id of their own, if they have."""
    return unit.session.scalar(
        select(AppealRow).where(
            AppealRow.submission_id == submission_id,
            AppealRow.person_id == unit.viewer.person_id,
        )
    )


def appeal(unit: Unit, appeal_id: str, to_change: bool = False) -> AppealRow:
    """One of the viewer's organisation, or sent by the viewer wherever. Raises NotFound."""
    row = unit.one(AppealRow, appeal_id, to_change)
    if row.person_id != unit.viewer.person_id:
        unit.viewer.must_see(row.organisation_id)
    return row


def mine(unit: Unit, most: int) -> Sequence[AppealRow]:
    """What the viewer has sent, newest first."""
    return unit.session.scalars(
        select(AppealRow)
        .where(AppealRow.person_id == unit.viewer.person_id)
        .order_by(AppealRow.sent_at.desc(), AppealRow.id)
        .limit(most)
    ).all()


def waiting(unit: Unit, most: int) -> Sequence[AppealRow]:
    """What waits for an answer in the viewer's organisation, the one due first on top."""
    return unit.session.scalars(
        _here(unit)
        .where(AppealRow.answered_at.is_(None))
        .order_by(AppealRow.due_on, AppealRow.sent_at)
        .limit(most)
    ).all()


def answered(unit: Unit, most: int) -> Sequence[AppealRow]:
    """What was answered in the viewer's organisation, newest first."""
    return unit.session.scalars(
        _here(unit)
        .where(AppealRow.answered_at.is_not(None))
        .order_by(AppealRow.answered_at.desc())
        .limit(most)
    ).all()


def count_waiting(unit: Unit) -> int:
    """How many wait for an answer in the viewer's organisation."""
    here = _here(unit).where(AppealRow.answered_at.is_(None)).subquery()
    return unit.session.scalar(select(func.count()).select_from(here)) or 0


def open_of(unit: Unit, person_id: str) -> bool:
    """Whether anything that a person sent, wherever, waits for an answer."""
    chosen = select(AppealRow.id).where(
        AppealRow.person_id == person_id, AppealRow.answered_at.is_(None)
    )
    return unit.session.scalar(chosen.limit(1)) is not None


def keep(unit: Unit, row: AppealRow) -> None:
    """Keep a new one."""
    unit.session.add(row)
    unit.session.flush()


def _here(unit: Unit) -> Select[AppealRow]:
    return select(AppealRow).where(AppealRow.organisation_id == unit.viewer.organisation_id)
