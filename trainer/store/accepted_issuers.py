"""Issuers whose records a house lets count, and for what; the house's own decision."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, Index, Text, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.unit import Unit


class AcceptedIssuerRow(Base):
    """One decision. `issuer` is the id that records name, `keys` its public keys as given."""

    __tablename__ = "accepted_issuers"
    __table_args__ = (
        Index("ix_accepted_issuers_organisation_issuer", "organisation_id", "issuer"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    issuer: Mapped[str] = mapped_column(Text)
    name: Mapped[str]
    keys: Mapped[str] = mapped_column(Text)
    methods: Mapped[list[str]]
    services: Mapped[list[str]]
    accepted_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    accepted_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    ended_by: Mapped[str | None] = mapped_column(Id)


def open_ones(unit: Unit) -> Sequence[AcceptedIssuerRow]:
    """Those of the viewer's organisation that are not ended, by name."""
    return unit.session.scalars(
        select(AcceptedIssuerRow)
        .where(
            AcceptedIssuerRow.organisation_id == unit.viewer.organisation_id,
            AcceptedIssuerRow.ended_at.is_(None),
        )
        .order_by(AcceptedIssuerRow.name, AcceptedIssuerRow.id)
    ).all()


def of_issuer(unit: Unit, issuer: str) -> AcceptedIssuerRow | None:
    """The viewer's organisation's open decision about an issuer, if there is one."""
    return next((row for row in open_ones(unit) if row.issuer == issuer), None)


def one(unit: Unit, row_id: str) -> AcceptedIssuerRow:
    """A decision of the viewer's organisation. Raises NotFound."""
    return unit.ours(AcceptedIssuerRow, row_id)


def keep(unit: Unit, row: AcceptedIssuerRow) -> None:
    """Keep a new decision."""
    unit.session.add(row)
    unit.session.flush()
