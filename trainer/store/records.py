"""Issued completion records, and each one's place on its issuer's status list."""

from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, Index, Text, UniqueConstraint, bindparam, func, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store import events
from trainer.store.base import Base, Id, new_id
from trainer.store.people import PersonRow, our_people
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit

TRIES = 40  # a list a quarter full still gives a free place, but for one time in 4 ** 40


class RecordRow(Base):
    """One record as issued. `basis` names what it rests on, so that nothing is issued twice.

    `issuer` is the id that the record itself names: an academy may have had several.
    """

    __tablename__ = "records"
    __table_args__ = (
        Index(
            "ix_records_ends",
            "person_id",
            "method",
            "state",
            "valid_until",
            "issued_at",
            "state_since",
        ),
        Index("ix_records_issuer_issued", "organisation_id", "issued_at", "id"),
        Index("ix_records_organisation_issuer", "organisation_id", "issuer"),
        UniqueConstraint("basis"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    services: Mapped[list[str]]
    valid_from: Mapped[datetime]
    valid_until: Mapped[datetime]
    issued_at: Mapped[datetime]
    basis: Mapped[str]
    document: Mapped[str] = mapped_column(Text)
    state: Mapped[str]
    state_since: Mapped[datetime]
    state_reason: Mapped[str] = mapped_column(Text, default="")
    issuer: Mapped[str] = mapped_column(default="", server_default="")


class StatusEntryRow(Base):
    """One place on an organisation's status list; drawn at random, never used twice."""

    __tablename__ = "status_entries"
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), primary_key=True)
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    record_id: Mapped[str] = mapped_column(Id, unique=True)
    is_set: Mapped[bool] = mapped_column(default=False)


TABLE = RecordRow.__table__
LINES = select(
    TABLE.c.id,
    TABLE.c.person_id,
    TABLE.c.method,
    TABLE.c.services,
    TABLE.c.valid_from,
    TABLE.c.valid_until,
    TABLE.c.state,
    TABLE.c.state_since,
).where(TABLE.c.person_id.in_(bindparam("people", expanding=True)))
OF_METHODS = LINES.where(TABLE.c.method.in_(bindparam("methods", expanding=True)))
NEWEST_FIRST = LINES.add_columns(TABLE.c.issued_at).order_by(TABLE.c.issued_at.desc(), TABLE.c.id)
"""Built once: what the desk asks of records, without the documents."""


def record(unit: Unit, record_id: str) -> RecordRow:
    """A record by its public id. Raises NotFound."""
    return unit.one(RecordRow, record_id)


def resting_on(unit: Unit, basis: str) -> RecordRow | None:
    """The record that rests on this sitting or on this lifted suspension, if it is issued."""
    return unit.session.scalar(select(RecordRow).where(RecordRow.basis == basis))


def held(unit: Unit, person_id: str, method: str = "") -> Sequence[RecordRow]:
    """A person's records from every issuer, newest first; for one method if it is named."""
    chosen = select(RecordRow).where(RecordRow.person_id == person_id)
    if method:
        chosen = chosen.where(RecordRow.method == method)
    return unit.session.scalars(chosen.order_by(RecordRow.issued_at.desc(), RecordRow.id)).all()


def held_by(unit: Unit, person_ids: Iterable[str]) -> Sequence[Found]:
    """The records of several people, from every issuer, newest first: `lines` and `issued_at`."""
    asked = {"people": list(person_ids)}
    return connection(unit).execute(NEWEST_FIRST, asked).all()


def lines(unit: Unit, person_ids: Iterable[str], methods: Collection[str] = ()) -> Sequence[Found]:
    """What the desk asks of several people's records, from every issuer, as plain rows.

    `methods`: only these; all if none is named.
    """
    asked = {"people": list(person_ids)}
    if not methods:
        return connection(unit).execute(LINES, asked).all()
    return connection(unit).execute(OF_METHODS, asked | {"methods": list(methods)}).all()


def issued(
    unit: Unit, before: tuple[datetime, str] | None = None, count: int = 50
) -> Sequence[RecordRow]:
    """What the viewer's organisation issued, newest first, from a place in that order on."""
    chosen = select(RecordRow).where(RecordRow.organisation_id == unit.viewer.organisation_id)
    if before is not None:
        at, record_id = before
        chosen = chosen.where(
            (RecordRow.issued_at < at) | ((RecordRow.issued_at == at) & (RecordRow.id < record_id))
        )
    chosen = chosen.order_by(RecordRow.issued_at.desc(), RecordRow.id.desc())
    return unit.session.scalars(chosen.limit(count)).all()


def of_our_people(unit: Unit, after: str, count: int) -> Sequence[RecordRow]:
    """Some records that members of the viewer's organisation hold, by id, from behind an id on."""
    return unit.session.scalars(
        select(RecordRow)
        .where(RecordRow.person_id.in_(our_people(unit)), RecordRow.id > after)
        .order_by(RecordRow.id)
        .limit(count)
    ).all()


def in_sight(unit: Unit, record_id: str) -> RecordRow:
    """A record that the viewer's organisation issued or that a member holds. Raises NotFound."""
    ours = RecordRow.organisation_id == unit.viewer.organisation_id
    row = unit.session.scalar(
        select(RecordRow).where(
            RecordRow.id == record_id, ours | RecordRow.person_id.in_(our_people(unit))
        )
    )
    if row is None:
        raise NotFound
    return row


def alone(unit: Unit, person_id: str) -> None:
    """Let nobody else issue for this person until the unit ends. Raises NotFound.

    The right to append to the log comes first: whoever signs a sheet has it before they come here.
    """
    events.last(unit)
    unit.one(PersonRow, person_id, to_change=True)


def keep(unit: Unit, row: RecordRow) -> None:
    """Keep a new record."""
    unit.session.add(row)
    unit.session.flush()


def take_place(unit: Unit, organisation_id: str, record_id: str, draw: Callable[[], int]) -> int:
    """Give a record a place on its issuer's list that nobody had, drawn at random."""
    for _ in range(TRIES):
        place = draw()
        if unit.session.get(StatusEntryRow, (organisation_id, place)) is None:
            unit.session.add(
                StatusEntryRow(organisation_id=organisation_id, place=place, record_id=record_id)
            )
            unit.session.flush()
            return place
    raise RuntimeError(f"the status list of {organisation_id} is full")


def set_bit(unit: Unit, record_id: str) -> None:
    """Set a record's bit; it is never cleared again."""
    row = unit.session.scalar(select(StatusEntryRow).where(StatusEntryRow.record_id == record_id))
    if row is None:
        raise NotFound
    row.is_set = True


def newest_named(unit: Unit, organisation_id: str, issuer: str) -> RecordRow | None:
    """The record issued last under one name of an organisation, or None."""
    return unit.session.scalar(
        select(RecordRow)
        .where(RecordRow.organisation_id == organisation_id, RecordRow.issuer == issuer)
        .order_by(RecordRow.issued_at.desc(), RecordRow.id.desc())
        .limit(1)
    )


def names_of_issuer(unit: Unit, organisation_id: str) -> Sequence[tuple[str, datetime]]:
    """Every name an organisation issued under, and the last moment that a record of it holds.

    The name that was used first comes first.
    """
    rows = unit.session.execute(
        select(RecordRow.issuer, func.max(RecordRow.valid_until), func.min(RecordRow.issued_at))
        .where(RecordRow.organisation_id == organisation_id)
        .group_by(RecordRow.issuer)
        .order_by(func.min(RecordRow.issued_at), RecordRow.issuer)
    )
    return [(issuer, until) for issuer, until, _ in rows]


def issuing_organisations(unit: Unit) -> Sequence[str]:
    """The ids of organisations that have issued a record."""
    chosen = select(RecordRow.organisation_id).distinct().order_by(RecordRow.organisation_id)
    return unit.session.scalars(chosen).all()


def bits_set(unit: Unit, organisation_id: str) -> Sequence[int]:
    """The places of an organisation's records that are no longer valid."""
    return unit.session.scalars(
        select(StatusEntryRow.place)
        .where(StatusEntryRow.organisation_id == organisation_id, StatusEntryRow.is_set)
        .order_by(StatusEntryRow.place)
    ).all()
