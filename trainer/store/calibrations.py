"""How hard each family proved to be: dated calibrations, of which one is in use."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, ForeignKey, bindparam, insert, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.practice import ResponseRow, ShownItemRow
from trainer.store.sittings import DONE, SittingItemRow, SittingRow
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit

AT_ONCE = 500
"""Rows that a long reading takes at a time."""


class CalibrationRow(Base):
    """One calibration. In use: adopted and not retired. It holds nothing about a person.

    `summary`: {log_likelihood, converged, centre, outlook, growth}: whether it came to rest, the
    mean ability, what features say of families without answers, how ability moves in practice.
    """

    __tablename__ = "calibrations"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    made_at: Mapped[datetime]
    bank_version: Mapped[str]
    people: Mapped[int]
    responses: Mapped[int]
    summary: Mapped[dict[str, Any]]
    adopted_at: Mapped[datetime | None]
    retired_at: Mapped[datetime | None]


class FamilyDifficultyRow(Base):
    """A family: slope, difficulty and its SD [theta], guessing floor, responses, mean squares.

    `means`: mean features of the items that were answered, in the order of the outlook's names.
    """

    __tablename__ = "family_difficulties"
    calibration_id: Mapped[str] = mapped_column(ForeignKey("calibrations.id"), primary_key=True)
    family: Mapped[str] = mapped_column(primary_key=True)
    a: Mapped[float]
    b: Mapped[float]
    b_sd: Mapped[float]
    floor: Mapped[float]
    responses: Mapped[int]
    infit: Mapped[float]
    outfit: Mapped[float]
    means: Mapped[Any] = mapped_column(JSON)


RUNS, FOUND = CalibrationRow.__table__, FamilyDifficultyRow.__table__
IN_USE = RUNS.c.adopted_at.is_not(None) & RUNS.c.retired_at.is_(None)
OF_FAMILIES = (
    select(
        RUNS.c.id,
        RUNS.c.made_at,
        RUNS.c.people,
        RUNS.c.responses,
        RUNS.c.summary,
        FOUND.c.family,
        FOUND.c.a,
        FOUND.c.b,
        FOUND.c.b_sd,
        FOUND.c.floor,
        FOUND.c.responses.label("n"),
        FOUND.c.infit,
        FOUND.c.outfit,
        FOUND.c.means,
    )
    .select_from(
        RUNS.outerjoin(
            FOUND,
            (RUNS.c.id == FOUND.c.calibration_id)
            & FOUND.c.family.in_(bindparam("families", expanding=True)),
        )
    )
    .where(IN_USE)
)
SUMMARY = select(RUNS.c.summary).where(IN_USE)


def of_families(unit: Unit, families: Sequence[str]) -> Sequence[Found]:
    """The calibration in use, a row for each of the families that it knows.

    One row whose `family` is None where it knows none of them; no row where none is in use.
    """
    return connection(unit).execute(OF_FAMILIES, {"families": list(families)}).all()


def keep(unit: Unit, row: CalibrationRow, families: Sequence[dict[str, Any]]) -> str:
    """Keep a new calibration beside the one in use; gives its id."""
    unit.session.add(row)
    unit.session.flush()
    if families:
        rows = [one | {"calibration_id": row.id} for one in families]
        unit.session.execute(insert(FamilyDifficultyRow), rows)
    return row.id


def calibration(unit: Unit, calibration_id: str) -> CalibrationRow:
    """A calibration. Raises NotFound."""
    return unit.one(CalibrationRow, calibration_id)


def in_use(unit: Unit) -> CalibrationRow | None:
    """The calibration in use, or None while families go by their features alone."""
    return unit.session.scalar(select(CalibrationRow).where(IN_USE))


def summary_in_use(unit: Unit) -> dict[str, Any]:
    """What the calibration in use keeps about itself; empty while there is none."""
    row = connection(unit).execute(SUMMARY).first()
    return {} if row is None else dict(row.summary)


def newest(unit: Unit, count: int) -> Sequence[CalibrationRow]:
    """The latest calibrations, newest first."""
    made = select(CalibrationRow).order_by(CalibrationRow.made_at.desc(), CalibrationRow.id)
    return unit.session.scalars(made.limit(count)).all()


def families_of(unit: Unit, calibration_id: str) -> Sequence[FamilyDifficultyRow]:
    """Every family of a calibration, by name."""
    return unit.session.scalars(
        select(FamilyDifficultyRow)
        .where(FamilyDifficultyRow.calibration_id == calibration_id)
        .order_by(FamilyDifficultyRow.family)
    ).all()


def practice_responses(unit: Unit) -> Iterator[Found]:
    """Every answer in practice: person_id, at, kept, right. From all organisations."""
    asked = (
        select(
            ResponseRow.person_id,
            ResponseRow.answered_at.label("at"),
            ShownItemRow.kept,
            ResponseRow.right,
        )
        .join(ShownItemRow, ShownItemRow.id == ResponseRow.item_id)
        .order_by(ResponseRow.answered_at, ResponseRow.item_id)
    )
    return iter(unit.session.execute(asked.execution_options(yield_per=AT_ONCE)))


def sitting_responses(unit: Unit) -> Iterator[Found]:
    """Every question of sittings that are done: person_id, at, kept, answer (None: left open)."""
    asked = (
        select(
            SittingRow.person_id,
            SittingRow.opened_at.label("at"),
            SittingItemRow.kept,
            SittingItemRow.answer,
        )
        .join(SittingRow, SittingRow.id == SittingItemRow.sitting_id)
        .where(SittingRow.state == DONE)
        .order_by(SittingRow.opened_at, SittingRow.id, SittingItemRow.position)
    )
    return iter(unit.session.execute(asked.execution_options(yield_per=AT_ONCE)))
