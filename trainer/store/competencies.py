"""What is known of one person on one method and topic: a summary, kept as answers arrive."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, select, update
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id
from trainer.store.statements import Found, inserting
from trainer.store.unit import Unit

WHOLE = ""
"""The topic under which the whole method is kept."""


class CompetencyRow(Base):
    """Posterior mean and SD of ability, and counts. `waiting_id`: shown there, not yet answered."""

    __tablename__ = "competencies"
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True)
    method: Mapped[str] = mapped_column(primary_key=True)
    topic: Mapped[str] = mapped_column(primary_key=True)
    mean: Mapped[float]
    sd: Mapped[float]
    n: Mapped[int]
    right: Mapped[int]
    updated_at: Mapped[datetime | None]
    waiting_id: Mapped[str | None] = mapped_column(Id)


KNOWN = (
    CompetencyRow.person_id,
    CompetencyRow.method,
    CompetencyRow.topic,
    CompetencyRow.mean,
    CompetencyRow.sd,
    CompetencyRow.n,
    CompetencyRow.right,
    CompetencyRow.updated_at,
    CompetencyRow.waiting_id,
)


def of_person(unit: Unit, person_id: str) -> Sequence[Found]:
    """All that is known of one person, by method and topic."""
    return unit.session.execute(select(*KNOWN).where(CompetencyRow.person_id == person_id)).all()


def of_people(unit: Unit, person_ids: Sequence[str]) -> Sequence[Found]:
    """All that is known of several people."""
    return unit.session.execute(
        select(*KNOWN).where(CompetencyRow.person_id.in_(list(person_ids)))
    ).all()


def to_change(
    unit: Unit, person_id: str, method: str, topics: Sequence[str]
) -> Mapping[str, Found]:
    """Topic -> what is known, held against other writers until the unit ends."""
    rows = unit.session.execute(
        select(*KNOWN)
        .where(
            CompetencyRow.person_id == person_id,
            CompetencyRow.method == method,
            CompetencyRow.topic.in_(list(topics)),
        )
        .order_by(CompetencyRow.topic)
        .with_for_update()
    )
    return {row.topic: row for row in rows}


def keep(unit: Unit, rows: Sequence[dict[str, Any]]) -> None:
    """Put summaries (every column) in place of what stood there."""
    statement = inserting(unit, CompetencyRow).values(list(rows))
    changed = ("mean", "sd", "n", "right", "updated_at", "waiting_id")
    unit.session.execute(
        statement.on_conflict_do_update(
            index_elements=["person_id", "method", "topic"],
            set_={name: statement.excluded[name] for name in changed},
        )
    )


def set_waiting(unit: Unit, person_id: str, method: str, topic: str, item_id: str) -> None:
    """Note which scenario waits for an answer; the summary must be there."""
    unit.session.execute(
        update(CompetencyRow)
        .where(
            CompetencyRow.person_id == person_id,
            CompetencyRow.method == method,
            CompetencyRow.topic == topic,
        )
        .values(waiting_id=item_id)
    )
