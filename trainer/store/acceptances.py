"""Services accepted on other evidence than a sheet of our own: asked by one, decided by another."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, Index, Text, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.unit import Unit


class AcceptanceRow(Base):
    """One request. `agreed` is None until somebody else has decided."""

    __tablename__ = "acceptances"
    __table_args__ = (
        Index("ix_acceptances_person_id_method", "person_id", "method"),
        Index("ix_acceptances_organisation_id_decided_at", "organisation_id", "decided_at"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    service: Mapped[str]
    reason: Mapped[str] = mapped_column(Text)
    asked_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    asked_at: Mapped[datetime]
    agreed: Mapped[bool | None]
    decided_by: Mapped[str | None] = mapped_column(Id)
    decided_at: Mapped[datetime | None]
    decided_why: Mapped[str] = mapped_column(Text, default="", server_default="")


def acceptance(unit: Unit, acceptance_id: str) -> AcceptanceRow:
    """A request of the viewer's organisation. Raises NotFound."""
    return unit.ours(AcceptanceRow, acceptance_id)


def undecided(unit: Unit) -> Sequence[AcceptanceRow]:
    """The requests of the viewer's organisation that wait for a decision, oldest first."""
    return unit.session.scalars(
        select(AcceptanceRow)
        .where(
            AcceptanceRow.organisation_id == unit.viewer.organisation_id,
            AcceptanceRow.decided_at.is_(None),
        )
        .order_by(AcceptanceRow.asked_at, AcceptanceRow.id)
    ).all()


def decided(unit: Unit, most: int) -> Sequence[AcceptanceRow]:
    """What was decided in the viewer's organisation, newest first."""
    return unit.session.scalars(
        select(AcceptanceRow)
        .where(
            AcceptanceRow.organisation_id == unit.viewer.organisation_id,
            AcceptanceRow.decided_at.is_not(None),
        )
        .order_by(AcceptanceRow.decided_at.desc(), AcceptanceRow.id.desc())
        .limit(most)
    ).all()


def agreed_for(unit: Unit, person_id: str, method: str) -> dict[str, AcceptanceRow]:
    """Service -> the latest request that was agreed to."""
    rows = unit.session.scalars(
        select(AcceptanceRow)
        .where(
            AcceptanceRow.person_id == person_id,
            AcceptanceRow.method == method,
            AcceptanceRow.agreed.is_(True),
        )
        .order_by(AcceptanceRow.decided_at, AcceptanceRow.id)
    )
    return {row.service: row for row in rows}


def keep(unit: Unit, row: AcceptanceRow) -> None:
    """Keep a new request."""
    unit.session.add(row)
    unit.session.flush()
