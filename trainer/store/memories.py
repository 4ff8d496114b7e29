"""How well a person remembers a family: a summary, kept as answers arrive."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, bindparam, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base
from trainer.store.statements import Found, built_once, connection
from trainer.store.unit import Unit


class MemoryRow(Base):
    """Strength in days, hardness 1..10, and the last answer: right or not, and when."""

    __tablename__ = "memories"
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True)
    family: Mapped[str] = mapped_column(primary_key=True)
    method: Mapped[str]
    topic: Mapped[str]
    strength_days: Mapped[float]
    hardness: Mapped[float]
    recalled: Mapped[bool]
    at: Mapped[datetime]


TABLE = MemoryRow.__table__
CHANGED = ("strength_days", "hardness", "recalled", "at")
OF_PERSON = select(
    TABLE.c.family,
    TABLE.c.method,
    TABLE.c.topic,
    TABLE.c.strength_days,
    TABLE.c.hardness,
    TABLE.c.recalled,
    TABLE.c.at,
).where(TABLE.c.person_id == bindparam("person"))
OF_FAMILIES = OF_PERSON.where(TABLE.c.family.in_(bindparam("families", expanding=True)))


@built_once
def _keep(insert: Any) -> Any:
    statement = insert(TABLE)
    return statement.on_conflict_do_update(
        index_elements=["person_id", "family"],
        set_={name: statement.excluded[name] for name in CHANGED},
    )


def of_person(unit: Unit, person_id: str) -> Sequence[Found]:
    """All that a person met in practice or a sitting, family by family."""
    return connection(unit).execute(OF_PERSON, {"person": person_id}).all()


def of_families(unit: Unit, person_id: str, families: Sequence[str]) -> Sequence[Found]:
    """The same for some families."""
    wanted = {"person": person_id, "families": list(families)}
    return connection(unit).execute(OF_FAMILIES, wanted).all()


def keep(unit: Unit, rows: Sequence[dict[str, Any]]) -> None:
    """Put memories (every column) in place of what stood there."""
    connection(unit).execute(_keep(unit), list(rows))
