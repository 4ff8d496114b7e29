"""What a salon asks beyond a record: one row a change, so that history stays."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, Index, bindparam, select, update
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit

WHOLE_HOUSE = ""
"""The method under which rules for all methods are kept."""


class HouseRuleRow(Base):
    """The rules of a house for a method ('' for all) from a moment on, and who set them.

    `grace_days` and `status_days` are None where the site's own hold. The newest row of a method
    holds.
    """

    __tablename__ = "house_rules"
    __table_args__ = (
        Index("ix_house_rules_organisation_id_set_at", "organisation_id", "set_at"),
        Index("ix_house_rules_in_force", "organisation_id", "in_force"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    grace_days: Mapped[int | None]
    second_observation: Mapped[bool]
    refresh_months: Mapped[int]
    supervised_clients: Mapped[int]
    status_days: Mapped[int | None]
    in_force: Mapped[bool]
    set_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    set_at: Mapped[datetime]


TABLE = HouseRuleRow.__table__
COLUMNS = (
    TABLE.c.method,
    TABLE.c.grace_days,
    TABLE.c.second_observation,
    TABLE.c.refresh_months,
    TABLE.c.supervised_clients,
    TABLE.c.status_days,
    TABLE.c.in_force,
    TABLE.c.set_by,
    TABLE.c.set_at,
)
HERE = select(*COLUMNS).where(TABLE.c.organisation_id == bindparam("place"))
IN_FORCE = HERE.where(TABLE.c.in_force).order_by(TABLE.c.method)
LATEST = HERE.order_by(TABLE.c.set_at.desc(), TABLE.c.id)
"""Built once: the desk asks with every answer."""


def in_force(unit: Unit) -> Sequence[Found]:
    """The rules of the viewer's organisation that hold, a row a method; none for a new house."""
    return connection(unit).execute(IN_FORCE, {"place": unit.viewer.organisation_id}).all()


def history(unit: Unit, most: int) -> Sequence[Found]:
    """The latest changes of the viewer's organisation, newest first."""
    here = {"place": unit.viewer.organisation_id}
    return connection(unit).execute(LATEST.limit(most), here).all()


def keep(unit: Unit, row: HouseRuleRow) -> None:
    """Put rules in force for their method; what held before stays as history."""
    unit.session.execute(
        update(HouseRuleRow)
        .where(
            HouseRuleRow.organisation_id == row.organisation_id,
            HouseRuleRow.method == row.method,
        )
        .values(in_force=False)
    )
    unit.session.add(row)
    unit.session.flush()
