"""Where a salon's bookings stand: the address it gave, and the clock it goes by."""

from datetime import datetime

from sqlalchemy import ForeignKey, Text
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base
from trainer.store.unit import Unit


class DiaryRow(Base):
    """One organisation's. `address`: '' where files are given by hand; whoever has it can read the
    bookings, so only its host is ever shown. `zone`: an IANA name, '' for the calendar's own.
    """

    __tablename__ = "diaries"
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), primary_key=True)
    address: Mapped[str] = mapped_column(Text)
    zone: Mapped[str]
    given_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    given_at: Mapped[datetime]


def of_place(unit: Unit) -> DiaryRow | None:
    """The viewer's organisation's, if it gave any."""
    return unit.session.get(DiaryRow, unit.viewer.organisation_id)


def keep(unit: Unit, row: DiaryRow) -> None:
    """Put it in place of what was given before."""
    unit.session.merge(row)
    unit.session.flush()
