"""Who wants a letter that says what needs them, how often, and when the last one went."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base
from trainer.store.unit import Unit


class NoticeRow(Base):
    """One person's choice in one organisation; no row for whoever wants none."""

    __tablename__ = "notices"
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), primary_key=True)
    every_days: Mapped[int]
    last_sent_at: Mapped[datetime | None]


def choice(unit: Unit, person_id: str, organisation_id: str) -> NoticeRow | None:
    """What somebody has chosen, if they have."""
    return unit.session.get(NoticeRow, (person_id, organisation_id))


def choices(unit: Unit) -> Sequence[NoticeRow]:
    """Everybody who wants letters."""
    return unit.session.scalars(
        select(NoticeRow).order_by(NoticeRow.organisation_id, NoticeRow.person_id)
    ).all()


def keep(unit: Unit, row: NoticeRow) -> None:
    """Keep a choice in the place of the one before."""
    unit.session.merge(row)


def drop(unit: Unit, row: NoticeRow) -> None:
    """No more letters."""
    unit.session.delete(row)
