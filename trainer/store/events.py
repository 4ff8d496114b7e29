"""The chained log of events that matter, and beside it what each says."""

from collections.abc import Collection, Iterator, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, delete, func, or_, select, text
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id
from trainer.store.people import our_people
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


def end(unit: Unit) -> int:
    """The number of the last link, without the right to append; 0 while there is none.

    One appends at a time and holds that right until the commit, so numbers become visible in
    order: whoever sees a number sees all before it.
    """
    return unit.session.scalar(select(func.max(EventRow.number))) or 0


def hash_of(unit: Unit, number: int) -> str | None:
    """The hash of a link, None where there is none of that number."""
    return unit.session.scalar(select(EventRow.hash).where(EventRow.number == number))


def about_our_people(unit: Unit, after: int, until: int) -> Sequence[tuple[str, EventBodyRow]]:
    """Kind and body of what concerns the viewer's organisation or a member, behind a number on.

    In order, up to and with `until`; what was erased is left out.
    """
    ours = EventBodyRow.organisation_id == unit.viewer.organisation_id
    rows = unit.session.execute(
        select(EventRow.kind, EventBodyRow)
        .join(EventBodyRow, EventBodyRow.number == EventRow.number)
        .where(
            EventBodyRow.number > after,
            EventBodyRow.number <= until,
            ours | EventBodyRow.person_id.in_(our_people(unit)),
        )
        .order_by(EventBodyRow.number)
    )
    return [(row[0], row[1]) for row in rows]


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
