"""What the last check of a week found: how many bookings, and the first day. Nothing of clients."""

from collections.abc import Sequence
from datetime import date, datetime

from sqlalchemy import ForeignKey, bindparam, delete, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit


class WeekFindingRow(Base):
    """One week of one organisation in which bookings were not cleared when it was checked.

    `checked_at`: when a check first found it so.
    """

    __tablename__ = "week_findings"
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), primary_key=True)
    monday: Mapped[date] = mapped_column(primary_key=True)
    not_cleared: Mapped[int]
    first_on: Mapped[date]
    last_on: Mapped[date]
    checked_at: Mapped[datetime]


TABLE = WeekFindingRow.__table__
OF_WEEK = select(TABLE.c.not_cleared, TABLE.c.first_on, TABLE.c.last_on).where(
    TABLE.c.organisation_id == bindparam("place"), TABLE.c.monday == bindparam("monday")
)
"""Built once."""


def of_week(unit: Unit, monday: date) -> Found | None:
    """What was found for a week of the viewer's organisation: number, first and last day."""
    asked = {"place": unit.viewer.organisation_id, "monday": monday}
    return connection(unit).execute(OF_WEEK, asked).one_or_none()


def keep(unit: Unit, row: WeekFindingRow) -> None:
    """Keep what was found in the place of what was found before."""
    unit.session.merge(row)


def drop(unit: Unit, monday: date, before: date) -> None:
    """Forget a week of the viewer's organisation, and every week before a day."""
    here = WeekFindingRow.organisation_id == unit.viewer.organisation_id
    gone = (WeekFindingRow.monday == monday) | (WeekFindingRow.last_on < before)
    unit.session.execute(delete(WeekFindingRow).where(here, gone))


def ahead(unit: Unit, on: date) -> Sequence[WeekFindingRow]:
    """The weeks of the viewer's organisation with such bookings on this day or later."""
    return unit.session.scalars(
        select(WeekFindingRow)
        .where(
            WeekFindingRow.organisation_id == unit.viewer.organisation_id,
            WeekFindingRow.last_on >= on,
        )
        .order_by(WeekFindingRow.monday)
    ).all()
