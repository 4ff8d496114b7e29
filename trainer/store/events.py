"""The chained log of events that matter, and beside it what each says."""

from collections.abc import Collection, Iterator, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, delete, or_, select, text
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id
from trainer.store.unit import Unit

APPENDING = 7_417_001
"""PostgreSQL advisory lock: one appends at a time. On SQLite a writer is alone anyway."""


class EventRow(Base):
    """A link of the chain."""

    __tablename__ = "events"
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    kind: Mapped[str]
    at: Mapped[str]
    body_hash: Mapped[str]
    before: Mapped[str] = mapped_column(unique=True)
    hash: Mapped[str]


class EventBodyRow(Base):
    """What an event says. May be erased without breaking the chain."""

    __tablename__ = "event_bodies"
    number: Mapped[int] = mapped_column(ForeignKey("events.number"), primary_key=True)
    organisation_id: Mapped[str] = mapped_column(Id, index=True)
    person_id: Mapped[str] = mapped_column(Id, index=True)
    actor_id: Mapped[str] = mapped_column(Id)
    at: Mapped[datetime]
    salt: Mapped[str]
    body: Mapped[dict[str, Any]]


def last(unit: Unit) -> EventRow | None:
    """The last link, with the right to append after it until the unit ends."""
    if unit.connection.dialect.name == "postgresql":
        unit.session.execute(text("select pg_advisory_xact_lock(:key)"), {"key": APPENDING})
    return unit.session.scalar(select(EventRow).order_by(EventRow.number.desc()).limit(1))


def all_in_order(unit: Unit) -> Iterator[EventRow]:
    """Every link from the first on."""
    return iter(unit.session.scalars(select(EventRow).order_by(EventRow.number)))


def bodies(unit: Unit) -> Iterator[EventBodyRow]:
    """Every body that has not been erased."""
    return iter(unit.session.scalars(select(EventBodyRow).order_by(EventBodyRow.number)))


def actors_about(unit: Unit, person_id: str, kinds: Collection[str]) -> frozenset[str]:
    """Who did anything of these kinds ('record' for 'record.suspended') about a person."""
    about = EventBodyRow.person_id == person_id
    alike = or_(*(EventRow.kind.like(f"{kind}.%") for kind in kinds))
    found = unit.session.scalars(
        select(EventBodyRow.actor_id).join(EventRow).where(about, alike).distinct()
    )
    return frozenset(found) - {"", person_id}


def erase(unit: Unit, numbers: Sequence[int]) -> None:
    """Erase what some events say; their links stay."""
    unit.session.execute(delete(EventBodyRow).where(EventBodyRow.number.in_(list(numbers))))
