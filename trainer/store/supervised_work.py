"""Clients done under supervision: who, what, beside whom and when; nothing about the client."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, bindparam, func, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.statements import connection, inserting
from trainer.store.unit import Unit


class SupervisedWorkRow(Base):
    """One client of one house. `taken_back_at`: tapped by mistake; it does not count."""

    __tablename__ = "supervised_work"
    __table_args__ = (
        Index(
            "ix_supervised_work_counted",
            "organisation_id",
            "person_id",
            "method",
            "service",
        ),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    submission_id: Mapped[str] = mapped_column(unique=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    supervisor_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    method: Mapped[str]
    service: Mapped[str]
    on_day: Mapped[date]
    noted_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    noted_at: Mapped[datetime]
    taken_back_at: Mapped[datetime | None]


TABLE = SupervisedWorkRow.__table__
KEY = (TABLE.c.person_id, TABLE.c.method, TABLE.c.service)
COUNTED = (
    select(*KEY, func.count().label("done"))
    .where(
        TABLE.c.organisation_id == bindparam("place"),
        TABLE.c.person_id.in_(bindparam("people", expanding=True)),
        TABLE.c.taken_back_at.is_(None),
    )
    .group_by(*KEY)
)


def counts(unit: Unit, person_ids: Iterable[str]) -> Mapping[tuple[str, str, str], int]:
    """(person, method, service) -> clients done under supervision in the viewer's organisation."""
    asked = {"place": unit.viewer.organisation_id, "people": list(person_ids)}
    rows = connection(unit).execute(COUNTED, asked)
    return {(row.person_id, row.method, row.service): row.done for row in rows}


def keep_once(unit: Unit, values: dict[str, Any]) -> bool:
    """Keep one; False when that submission was kept before."""
    statement = inserting(unit, SupervisedWorkRow).values(values).on_conflict_do_nothing()
    kept = unit.session.execute(statement.returning(SupervisedWorkRow.id)).first()
    return kept is not None


def of_person(unit: Unit, person_id: str, method: str, service: str) -> Sequence[SupervisedWorkRow]:
    """What counts of one person, method and service in the viewer's organisation, newest first."""
    return unit.session.scalars(
        select(SupervisedWorkRow)
        .where(
            SupervisedWorkRow.organisation_id == unit.viewer.organisation_id,
            SupervisedWorkRow.person_id == person_id,
            SupervisedWorkRow.method == method,
            SupervisedWorkRow.service == service,
            SupervisedWorkRow.taken_back_at.is_(None),
        )
        .order_by(SupervisedWorkRow.on_day.desc(), SupervisedWorkRow.noted_at.desc())
    ).all()


def one(unit: Unit, work_id: str) -> SupervisedWorkRow:
    """One of the viewer's organisation. Raises NotFound."""
    return unit.ours(SupervisedWorkRow, work_id)
