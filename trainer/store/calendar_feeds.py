"""Secret addresses of calendars. Only a hash of the secret is kept."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.unit import Unit

MINE, PLACE = "mine", "place"


class CalendarFeedRow(Base):
    """One address, made by a person: of their own records, or of their organisation's people."""

    __tablename__ = "calendar_feeds"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    token_hash: Mapped[str] = mapped_column(unique=True)
    kind: Mapped[str]
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), index=True)
    organisation_id: Mapped[str | None] = mapped_column(ForeignKey("organisations.id"), index=True)
    made_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


def by_hash(unit: Unit, token_hash: str) -> CalendarFeedRow | None:
    """A feed that has not been ended, by its secret's hash."""
    return unit.session.scalar(
        select(CalendarFeedRow).where(
            CalendarFeedRow.token_hash == token_hash, CalendarFeedRow.ended_at.is_(None)
        )
    )


def open_ones(unit: Unit, kind: str) -> Sequence[CalendarFeedRow]:
    """The viewer's own feeds that are open, or those of the viewer's organisation."""
    chosen = select(CalendarFeedRow).where(
        CalendarFeedRow.kind == kind, CalendarFeedRow.ended_at.is_(None)
    )
    if kind == MINE:
        chosen = chosen.where(CalendarFeedRow.person_id == unit.viewer.person_id)
    else:
        chosen = chosen.where(CalendarFeedRow.organisation_id == unit.viewer.organisation_id)
    return unit.session.scalars(chosen.order_by(CalendarFeedRow.made_at)).all()


def keep(unit: Unit, row: CalendarFeedRow) -> None:
    """Keep a new feed."""
    unit.session.add(row)
    unit.session.flush()
