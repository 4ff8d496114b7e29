"""Consultations that were begun: which steps were taken, and what was decided."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, ForeignKey, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base
from trainer.store.practice import ShownItemRow
from trainer.store.statements import inserting
from trainer.store.unit import Unit


class ConsultationRow(Base):
    """One consultation of one shown scenario. `decided`: decision and plan, once they stand."""

    __tablename__ = "consultations"
    item_id: Mapped[str] = mapped_column(ForeignKey("shown_items.id"), primary_key=True)
    steps: Mapped[list[str]]
    decided: Mapped[Any] = mapped_column(JSON(none_as_null=True), nullable=True)
    begun_at: Mapped[datetime]
    changed_at: Mapped[datetime]


def begun(unit: Unit, item_id: str) -> ConsultationRow | None:
    """The viewer's consultation of a shown scenario, or None before its first step."""
    return unit.session.scalars(_own(unit, item_id)).first()


def to_change(unit: Unit, item_id: str, now: datetime) -> ConsultationRow:
    """The same, begun if it was not, and held until the unit ends."""
    first: dict[str, Any] = {"item_id": item_id, "steps": [], "decided": None}
    first |= {"begun_at": now, "changed_at": now}
    unit.session.execute(inserting(unit, ConsultationRow).values(first).on_conflict_do_nothing())
    row: ConsultationRow = unit.session.scalars(_own(unit, item_id).with_for_update()).one()
    return row


def keep_steps(row: ConsultationRow, steps: Sequence[str], now: datetime) -> None:
    """Put the steps that were taken in place of those before."""
    row.steps, row.changed_at = list(steps), now


def keep_decision(row: ConsultationRow, decided: Any, now: datetime) -> None:
    """Let decision and plan stand."""
    row.decided, row.changed_at = decided, now


def _own(unit: Unit, item_id: str) -> Any:
    return (
        select(ConsultationRow)
        .join(ShownItemRow, ShownItemRow.id == ConsultationRow.item_id)
        .where(
            ConsultationRow.item_id == item_id,
            ShownItemRow.person_id == unit.viewer.person_id,
        )
        .execution_options(populate_existing=True)
    )
