"""Which banks this site has used, one after the other, and the safety facts that changed."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, Index, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.statements import inserting
from trainer.store.unit import Unit


class BankUseRow(Base):
    """A bank in use from `at` on, until the next number. `facts`: all its facts by id."""

    __tablename__ = "bank_uses"
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    version: Mapped[str]
    at: Mapped[datetime]
    facts: Mapped[dict[str, Any]]


class FactChangeRow(Base):
    """One fact that was or is critical, and is not as it was.

    `before` and `after`: the fact in the bank `old_version` and in `new_version`; None where it was
    added or retired. `asks_again`: whoever learned the old words has to be asked anew. `methods`
    and `service`: what it is about. `families`: family -> [how many of `tried` questions made with
    it rest on the fact as it is now, how many of these a top-up may ask]. `overtaken_at`: when the
    fact changed once more, so that its words here are no longer what is taught.
    """

    __tablename__ = "fact_changes"
    __table_args__ = (Index("ix_fact_changes_at_id", "at", "id"),)
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    fact: Mapped[str]
    kind: Mapped[str]
    before: Mapped[Any] = mapped_column(JSON(none_as_null=True), nullable=True)
    after: Mapped[Any] = mapped_column(JSON(none_as_null=True), nullable=True)
    old_version: Mapped[str]
    new_version: Mapped[str]
    at: Mapped[datetime]
    asks_again: Mapped[bool]
    methods: Mapped[list[str]]
    service: Mapped[str]
    families: Mapped[dict[str, Any]]
    tried: Mapped[int]
    overtaken_at: Mapped[datetime | None]

    @property
    def open(self) -> bool:
        """Whether people have to be asked anew on it, and no later change has taken its place."""
        return self.asks_again and self.overtaken_at is None

    @property
    def askable(self) -> dict[str, int]:
        """Family -> how many of those tried a top-up may ask; only families with any."""
        return {name: may for name, (_, may) in self.families.items() if may}


TABLE = FactChangeRow.__table__


def last_use(unit: Unit) -> BankUseRow | None:
    """The bank that came into use last, or None on a new site."""
    newest = select(BankUseRow).order_by(BankUseRow.number.desc()).limit(1)
    return unit.session.scalar(newest)


def begin_use(unit: Unit, values: dict[str, Any]) -> bool:
    """Note that a bank comes into use; False where another process has just done it."""
    statement = inserting(unit, BankUseRow).values(values).on_conflict_do_nothing()
    return unit.session.execute(statement.returning(BankUseRow.number)).first() is not None


def keep(unit: Unit, row: FactChangeRow) -> None:
    """Keep a change."""
    unit.session.add(row)
    unit.session.flush()


def overtake(unit: Unit, fact: str, now: datetime) -> Sequence[str]:
    """Note that a fact changes once more; gives the changes that this puts out of date."""
    rows = unit.session.scalars(
        select(FactChangeRow).where(
            FactChangeRow.fact == fact, FactChangeRow.overtaken_at.is_(None)
        )
    ).all()
    for row in rows:
        row.overtaken_at = now
    unit.session.flush()
    return [row.id for row in rows]


def change(unit: Unit, change_id: str) -> FactChangeRow:
    """One change. Raises NotFound."""
    return unit.one(FactChangeRow, change_id)


def page(unit: Unit, before: FactChangeRow | None, count: int) -> Sequence[FactChangeRow]:
    """Changes, newest first, from behind one on."""
    chosen = select(FactChangeRow)
    if before is not None:
        chosen = chosen.where(
            (FactChangeRow.at < before.at)
            | ((FactChangeRow.at == before.at) & (FactChangeRow.id < before.id))
        )
    newest = chosen.order_by(FactChangeRow.at.desc(), FactChangeRow.id.desc())
    return unit.session.scalars(newest.limit(count)).all()


def in_order(unit: Unit) -> Sequence[FactChangeRow]:
    """Every change, oldest first."""
    return unit.session.scalars(
        select(FactChangeRow).order_by(FactChangeRow.at, FactChangeRow.fact, FactChangeRow.id)
    ).all()


def not_offered(unit: Unit, offered: Sequence[str]) -> Sequence[FactChangeRow]:
    """Changes that ask again and are not overtaken, without those named, newest first."""
    return unit.session.scalars(
        select(FactChangeRow)
        .where(
            FactChangeRow.asks_again.is_(True),
            FactChangeRow.overtaken_at.is_(None),
            FactChangeRow.id.not_in(list(offered)),
        )
        .order_by(FactChangeRow.at.desc(), FactChangeRow.id)
    ).all()
