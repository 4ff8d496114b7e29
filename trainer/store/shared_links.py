"""Links by which a holder shares one record, each with what it shows."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.unit import Unit


class SharedLinkRow(Base):
    """One link. `token` is its secret part, `label` the holder's own note, `shows` the parts."""

    __tablename__ = "shared_links"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    token: Mapped[str] = mapped_column(unique=True)
    record_id: Mapped[str] = mapped_column(ForeignKey("records.id"), index=True)
    made_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    label: Mapped[str]
    shows: Mapped[list[str]]


def keep(unit: Unit, row: SharedLinkRow) -> None:
    """Keep a new link."""
    unit.session.add(row)
    unit.session.flush()


def of_record(unit: Unit, record_id: str) -> Sequence[SharedLinkRow]:
    """The open links of a record, newest first."""
    chosen = select(SharedLinkRow).where(
        SharedLinkRow.record_id == record_id, SharedLinkRow.ended_at.is_(None)
    )
    order = (SharedLinkRow.made_at.desc(), SharedLinkRow.id)
    return unit.session.scalars(chosen.order_by(*order)).all()


def link(unit: Unit, link_id: str) -> SharedLinkRow:
    """A link by its id. Raises NotFound."""
    return unit.one(SharedLinkRow, link_id)


def open_link(unit: Unit, token: str) -> SharedLinkRow:
    """An open link by its secret part. Raises NotFound for an ended one too."""
    row = unit.session.scalar(select(SharedLinkRow).where(SharedLinkRow.token == token))
    if row is None or row.ended_at is not None:
        raise NotFound
    return row
