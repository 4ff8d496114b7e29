"""Which shown scenario stands in which place of somebody's top-up."""

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id


class TopUpItemRow(Base):
    """One place of one person's top-up: the scenario that was shown there last."""

    __tablename__ = "top_up_items"
    change_id: Mapped[str] = mapped_column(ForeignKey("fact_changes.id"), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), primary_key=True, index=True)
    position: Mapped[int] = mapped_column(primary_key=True)
    family: Mapped[str]
    item_id: Mapped[str] = mapped_column(Id, unique=True)


TABLE = TopUpItemRow.__table__
