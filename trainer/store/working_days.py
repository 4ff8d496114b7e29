"""On which days of the week somebody works in a house; nothing else of anybody's hours."""

from collections.abc import Iterable, Mapping

from sqlalchemy import ForeignKey, bindparam, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base
from trainer.store.statements import connection
from trainer.store.unit import Unit


class WorkingDaysRow(Base):
    """`days`: a bit a day, Monday the lowest. No row: nobody has said."""

    __tablename__ = "working_days"
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True)
    days: Mapped[int]


TABLE = WorkingDaysRow.__table__
SAID = select(TABLE.c.person_id, TABLE.c.days).where(
    TABLE.c.organisation_id == bindparam("place"),
    TABLE.c.person_id.in_(bindparam("people", expanding=True)),
)
"""Built once."""


def of_people(unit: Unit, person_ids: Iterable[str]) -> Mapping[str, int]:
    """Person -> days, for those of whom it was said in the viewer's organisation."""
    asked = {"place": unit.viewer.organisation_id, "people": list(person_ids)}
    rows = connection(unit).execute(SAID, asked)
    return {row.person_id: row.days for row in rows}


def keep(unit: Unit, person_id: str, days: int) -> None:
    """Say on which days somebody works in the viewer's organisation."""
    unit.session.merge(
        WorkingDaysRow(organisation_id=unit.viewer.organisation_id, person_id=person_id, days=days)
    )
    unit.session.flush()
