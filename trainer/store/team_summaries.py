"""What a large house's team page says of the whole house, kept for a while."""

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, bindparam, delete, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base
from trainer.store.people import MEMBERSHIPS
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit


class TeamSummaryRow(Base):
    """Counted for `for_day` at `made_at`; `said` holds counts and ids, no names."""

    __tablename__ = "team_summaries"
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), primary_key=True)
    for_day: Mapped[date]
    made_at: Mapped[datetime]
    said: Mapped[dict[str, Any]]


TABLE = TeamSummaryRow.__table__
KEPT = select(TABLE.c.for_day, TABLE.c.made_at, TABLE.c.said).where(
    TABLE.c.organisation_id == bindparam("place")
)
"""Built once."""


def kept(unit: Unit) -> Found | None:
    """That of the viewer's organisation, if there is one: for_day, made_at, said."""
    here = {"place": unit.viewer.organisation_id}
    return connection(unit).execute(KEPT, here).one_or_none()


def keep(unit: Unit, day: date, now: datetime, said: dict[str, Any]) -> None:
    """Put it in place of the last."""
    unit.session.merge(
        TeamSummaryRow(
            organisation_id=unit.viewer.organisation_id, for_day=day, made_at=now, said=said
        )
    )
    unit.session.flush()


def forget(unit: Unit) -> None:
    """Drop it: what it counts has changed here."""
    unit.session.execute(
        delete(TeamSummaryRow).where(TeamSummaryRow.organisation_id == unit.viewer.organisation_id)
    )


def forget_about(unit: Unit, person_id: str) -> None:
    """Drop that of every house to which somebody belongs: what it counts of them has changed."""
    theirs = select(MEMBERSHIPS.c.organisation_id).where(MEMBERSHIPS.c.person_id == person_id)
    unit.session.execute(delete(TeamSummaryRow).where(TeamSummaryRow.organisation_id.in_(theirs)))
