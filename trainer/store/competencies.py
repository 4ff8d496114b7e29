"""What is known of one person on one method and topic: a summary, kept as answers arrive."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, bindparam, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id
from trainer.store.statements import Found, built_once, connection
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


TABLE = CompetencyRow.__table__
KNOWN = select(
    TABLE.c.person_id,
    TABLE.c.method,
    TABLE.c.topic,
    TABLE.c.mean,
    TABLE.c.sd,
    TABLE.c.n,
    TABLE.c.right,
    TABLE.c.updated_at,
    TABLE.c.waiting_id,
)
OF_PERSON = KNOWN.where(TABLE.c.person_id == bindparam("person"))
OF_METHOD = (
    OF_PERSON.where(TABLE.c.method == bindparam("of_method"))
    .order_by(TABLE.c.topic)
    .with_for_update()
)
TO_CHANGE = OF_METHOD.where(TABLE.c.topic.in_([bindparam("topic"), WHOLE]))
TO_CHANGE_MANY = OF_METHOD.where(TABLE.c.topic.in_(bindparam("topics", expanding=True)))
BEGUN = select(TABLE.c.person_id, TABLE.c.method).where(
    TABLE.c.person_id.in_(bindparam("people", expanding=True)),
    TABLE.c.topic == WHOLE,
    TABLE.c.n > 0,
)
CHANGED = ("mean", "sd", "n", "right", "updated_at", "waiting_id")


@built_once
def _keep(insert: Any) -> Any:
    statement = insert(TABLE)
    return statement.on_conflict_do_update(
        index_elements=["person_id", "method", "topic"],
        set_={name: statement.excluded[name] for name in CHANGED},
    )


def of_person(unit: Unit, person_id: str) -> Sequence[Found]:
    """All that is known of one person, by method and topic."""
    return connection(unit).execute(OF_PERSON, {"person": person_id}).all()


def of_people(unit: Unit, person_ids: Sequence[str]) -> Sequence[Found]:
    """All that is known of several people."""
    return connection(unit).execute(KNOWN.where(TABLE.c.person_id.in_(list(person_ids)))).all()


def begun_by(unit: Unit, person_ids: Sequence[str]) -> Sequence[tuple[str, str]]:
    """(person, method) of all that several people have answered anything about."""
    rows = connection(unit).execute(BEGUN, {"people": list(person_ids)})
    return [(person_id, method) for person_id, method in rows]


def to_change(
    unit: Unit, person_id: str, method: str, topics: Sequence[str]
) -> Mapping[str, Found]:
    """Topic -> what is known, held against other writers until the unit ends.

    The whole method is always among them.
    """
    wanted = {"person": person_id, "of_method": method}
    if len(topics) > 1:
        rows = connection(unit).execute(TO_CHANGE_MANY, wanted | {"topics": [WHOLE, *topics]})
    else:
        rows = connection(unit).execute(TO_CHANGE, wanted | {"topic": topics[0]})
    return {row.topic: row for row in rows}


def keep(unit: Unit, rows: Sequence[dict[str, Any]]) -> None:
    """Put summaries (every column) in place of what stood there."""
    connection(unit).execute(_keep(unit), list(rows))
