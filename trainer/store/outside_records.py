"""Records that came from elsewhere, as a house keeps them with their holder's agreement."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from sqlalchemy import ForeignKey, Index, Text, UniqueConstraint, bindparam, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.accepted_issuers import AcceptedIssuerRow
from trainer.store.base import Base, Id, new_id
from trainer.store.people import our_people
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit


class OutsideRecordRow(Base):
    """One record as it was given. `method` is an id of ours, '' if it names none.

    `lists`: addresses where its status stands. `state`: in_force or marked, since
    `state_since`; `checked_at`: when its list was last read with success, None for never, and
    `counts_until` how long that is enough for the site; a house may let it be enough for less.
    `agreed_on`: when its holder agreed to our keeping it.
    """

    __tablename__ = "outside_records"
    __table_args__ = (
        UniqueConstraint("organisation_id", "digest"),
        Index("ix_outside_records_organisation_person", "organisation_id", "person_id"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    issuer: Mapped[str] = mapped_column(Text)
    document: Mapped[str] = mapped_column(Text)
    digest: Mapped[str]
    method: Mapped[str]
    services: Mapped[list[str]]
    valid_from: Mapped[date]
    valid_until: Mapped[date | None]
    lists: Mapped[list[str]]
    state: Mapped[str]
    state_since: Mapped[datetime]
    checked_at: Mapped[datetime | None]
    counts_until: Mapped[date | None]
    agreed_on: Mapped[date]
    added_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    added_at: Mapped[datetime]


TABLE, ACCEPTED = OutsideRecordRow.__table__, AcceptedIssuerRow.__table__
COUNTING = (
    select(
        TABLE.c.id,
        TABLE.c.person_id,
        TABLE.c.method,
        TABLE.c.services,
        TABLE.c.valid_from,
        TABLE.c.valid_until,
        TABLE.c.state,
        TABLE.c.state_since,
        TABLE.c.checked_at,
        TABLE.c.counts_until,
        ACCEPTED.c.methods.label("accepted_methods"),
        ACCEPTED.c.services.label("accepted_services"),
    )
    .join(
        ACCEPTED,
        (ACCEPTED.c.organisation_id == TABLE.c.organisation_id)
        & (ACCEPTED.c.issuer == TABLE.c.issuer)
        & ACCEPTED.c.ended_at.is_(None),
    )
    .where(
        TABLE.c.organisation_id == bindparam("place"),
        TABLE.c.person_id.in_(bindparam("people", expanding=True)),
    )
)
"""Built once: the desk asks it with every answer."""


def counting(unit: Unit, person_ids: Iterable[str]) -> Sequence[Found]:
    """What the viewer's organisation keeps of people, by issuers that it accepts now."""
    asked = {"place": unit.viewer.organisation_id, "people": list(person_ids)}
    return connection(unit).execute(COUNTING, asked).all()


def of_place(unit: Unit) -> Sequence[OutsideRecordRow]:
    """All that the viewer's organisation keeps, newest first."""
    return unit.session.scalars(
        select(OutsideRecordRow)
        .where(OutsideRecordRow.organisation_id == unit.viewer.organisation_id)
        .order_by(OutsideRecordRow.added_at.desc(), OutsideRecordRow.id)
    ).all()


def of_our_people(unit: Unit, after: str, count: int) -> Sequence[OutsideRecordRow]:
    """Some that it keeps of people who belong to it, by id, from behind an id on."""
    return unit.session.scalars(
        select(OutsideRecordRow)
        .where(
            OutsideRecordRow.organisation_id == unit.viewer.organisation_id,
            OutsideRecordRow.person_id.in_(our_people(unit)),
            OutsideRecordRow.id > after,
        )
        .order_by(OutsideRecordRow.id)
        .limit(count)
    ).all()


def by_digest(unit: Unit, digest: str) -> OutsideRecordRow | None:
    """The same record, if the viewer's organisation keeps it already."""
    return unit.session.scalar(
        select(OutsideRecordRow).where(
            OutsideRecordRow.organisation_id == unit.viewer.organisation_id,
            OutsideRecordRow.digest == digest,
        )
    )


def record(unit: Unit, record_id: str) -> OutsideRecordRow:
    """One that the viewer's organisation keeps. Raises NotFound."""
    return unit.ours(OutsideRecordRow, record_id)


def keep(unit: Unit, row: OutsideRecordRow) -> None:
    """Keep a new one."""
    unit.session.add(row)
    unit.session.flush()


def remove(unit: Unit, row: OutsideRecordRow) -> None:
    """Let one go, file and all."""
    unit.session.delete(row)
    unit.session.flush()
