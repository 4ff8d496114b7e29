"""Where each person stands with each method and service: a summary, kept up to date."""

from collections.abc import Collection, Iterable, Sequence
from datetime import date, datetime

from sqlalchemy import ForeignKey, Index, bindparam, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit


class StandingRow(Base):
    """One person, method and service.

    `word` was true on `as_of`; `day` is the last day of a record, or when a suspension or
    withdrawal began. `passed_on` and `observed_on` are what is known beside records. `record_from`
    is the first day of the record, `second_on` when a second observer had signed the service off.
    `taken_on`: the day on which the passed assessment was begun.
    """

    __tablename__ = "standings"
    __table_args__ = (Index("ix_standings_word", "word", "person_id", "method", "service", "day"),)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True)
    method: Mapped[str] = mapped_column(primary_key=True)
    service: Mapped[str] = mapped_column(primary_key=True)
    word: Mapped[str]
    day: Mapped[date | None]
    record_id: Mapped[str | None] = mapped_column(Id)
    passed_on: Mapped[date | None]
    observed_on: Mapped[date | None]
    as_of: Mapped[datetime]
    record_from: Mapped[date | None]
    second_on: Mapped[date | None]
    taken_on: Mapped[date | None]


TABLE = StandingRow.__table__
LINES = select(
    TABLE.c.person_id,
    TABLE.c.method,
    TABLE.c.service,
    TABLE.c.word,
    TABLE.c.day,
    TABLE.c.record_id,
    TABLE.c.passed_on,
    TABLE.c.observed_on,
    TABLE.c.record_from,
    TABLE.c.second_on,
    TABLE.c.taken_on,
).where(TABLE.c.person_id.in_(bindparam("people", expanding=True)))
OF_METHODS = LINES.where(TABLE.c.method.in_(bindparam("methods", expanding=True)))
"""Both built once."""


def of_person(unit: Unit, person_id: str, method: str) -> Sequence[StandingRow]:
    """The summary of one person and method, a row a service; none when never kept."""
    return unit.session.scalars(
        select(StandingRow).where(StandingRow.person_id == person_id, StandingRow.method == method)
    ).all()


def of_people(unit: Unit, person_ids: Iterable[str]) -> Sequence[StandingRow]:
    """The summary of several people, all methods and services."""
    return unit.session.scalars(
        select(StandingRow).where(StandingRow.person_id.in_(list(person_ids)))
    ).all()


def lines(unit: Unit, person_ids: Iterable[str], methods: Collection[str] = ()) -> Sequence[Found]:
    """The same as plain rows, for many people: every column but `as_of`, in the table's order.

    `methods`: only these; all if none is named.
    """
    asked = {"people": list(person_ids)}
    if not methods:
        return connection(unit).execute(LINES, asked).all()
    return connection(unit).execute(OF_METHODS, asked | {"methods": list(methods)}).all()


def keep(unit: Unit, row: StandingRow) -> None:
    """Put a summary in place of what stood there."""
    unit.session.merge(row)
