"""Work watched at the chair and signed: a sheet is kept as it was signed."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, Text, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.statements import inserting
from trainer.store.unit import Unit


class ObservationRow(Base):
    """One service of one person, watched by another.

    `ticks`: criterion id -> {text, critical, met}, in the sheet's order.
    """

    __tablename__ = "observations"
    __table_args__ = (
        Index("ix_observations_person_id_method_observed_at", "person_id", "method", "observed_at"),
        Index("ix_observations_organisation_id_signed_at", "organisation_id", "signed_at"),
    )
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    submission_id: Mapped[str] = mapped_column(unique=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    observer_id: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    method: Mapped[str]
    service: Mapped[str]
    observed_at: Mapped[datetime]
    signed_at: Mapped[datetime]
    ticks: Mapped[dict[str, Any]]
    notes: Mapped[str] = mapped_column(Text)
    met: Mapped[bool]
    bank_version: Mapped[str]


def keep_once(unit: Unit, values: dict[str, Any]) -> tuple[ObservationRow, bool]:
    """Keep an observation: (it, True), or (the one kept for that submission, False)."""
    statement = inserting(unit, ObservationRow).values(values).on_conflict_do_nothing()
    is_new = unit.session.execute(statement.returning(ObservationRow.id)).first() is not None
    row = unit.session.scalar(
        select(ObservationRow).where(ObservationRow.submission_id == values["submission_id"])
    )
    if row is None:
        raise NotFound
    unit.viewer.must_see(row.organisation_id)
    return row, is_new


def observation(unit: Unit, observation_id: str) -> ObservationRow:
    """An observation made in the viewer's organisation, or of the viewer. Raises NotFound."""
    row = unit.session.get(ObservationRow, observation_id)
    if row is None:
        raise NotFound
    if row.person_id != unit.viewer.person_id:
        unit.viewer.must_see(row.organisation_id)
    return row


def met_for(unit: Unit, person_id: str, method: str) -> dict[str, ObservationRow]:
    """Service -> the latest observation of it, where that one was met.

    The latest counts: work that was not met when last watched is not signed off.
    """
    rows = unit.session.scalars(
        select(ObservationRow)
        .where(ObservationRow.person_id == person_id, ObservationRow.method == method)
        .order_by(ObservationRow.observed_at, ObservationRow.signed_at, ObservationRow.id)
    )
    latest = {row.service: row for row in rows}
    return {service: row for service, row in latest.items() if row.met}


def of_person(unit: Unit, person_id: str, most: int) -> Sequence[ObservationRow]:
    """The latest observations of a person in the viewer's organisation, newest first."""
    return unit.session.scalars(
        select(ObservationRow)
        .where(
            ObservationRow.person_id == person_id,
            ObservationRow.organisation_id == unit.viewer.organisation_id,
        )
        .order_by(ObservationRow.observed_at.desc(), ObservationRow.id.desc())
        .limit(most)
    ).all()


def latest(unit: Unit, most: int) -> Sequence[ObservationRow]:
    """What was signed last in the viewer's organisation, newest first."""
    return unit.session.scalars(
        select(ObservationRow)
        .where(ObservationRow.organisation_id == unit.viewer.organisation_id)
        .order_by(ObservationRow.signed_at.desc(), ObservationRow.id.desc())
        .limit(most)
    ).all()


def about(unit: Unit, person_id: str, most: int) -> Sequence[ObservationRow]:
    """The latest observations of a person, whoever made them, newest first: for that person."""
    return unit.session.scalars(
        select(ObservationRow)
        .where(ObservationRow.person_id == person_id)
        .order_by(ObservationRow.observed_at.desc(), ObservationRow.id.desc())
        .limit(most)
    ).all()
