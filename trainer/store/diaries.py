"""Where a salon's bookings stand: the address it gave, and the clock it goes by."""

from datetime import datetime

from sqlalchemy import ForeignKey, Text, bindparam, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base
from trainer.store.people import OrganisationRow
from trainer.store.statements import connection
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


PLACES, TABLE = OrganisationRow.__table__, DiaryRow.__table__
WAYS = (
    select(TABLE.c.zone, PLACES.c.spelling)
    .select_from(PLACES.outerjoin(TABLE, TABLE.c.organisation_id == PLACES.c.id))
    .where(PLACES.c.id == bindparam("place"))
)
"""Built once."""


def ways(unit: Unit) -> tuple[str, str]:
    """The zone that the viewer's organisation goes by, '' if it named none, and its spelling."""
    found = connection(unit).execute(WAYS, {"place": unit.viewer.organisation_id}).one()
    return found.zone or "", found.spelling


def of_place(unit: Unit) -> DiaryRow | None:
    """The viewer's organisation's, if it gave any."""
    return unit.session.get(DiaryRow, unit.viewer.organisation_id)


def keep(unit: Unit, row: DiaryRow) -> None:
    """Put it in place of what was given before."""
    unit.session.merge(row)
    unit.session.flush()
