"""What words in a salon's bookings mean: rules that the salon confirmed. Nothing about clients."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, UniqueConstraint, bindparam, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit


class MatchingRuleRow(Base):
    """One rule. `kind` work: `method` and `service`, '' where nothing is to be checked.

    `kind` person: `person_id`, None for words that name nobody of the team. `words` are in small
    letters with one space between them.
    """

    __tablename__ = "matching_rules"
    __table_args__ = (UniqueConstraint("organisation_id", "kind", "words"),)
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    kind: Mapped[str]
    words: Mapped[str]
    method: Mapped[str]
    service: Mapped[str]
    person_id: Mapped[str | None] = mapped_column(ForeignKey("persons.id"))
    made_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    made_at: Mapped[datetime]


TABLE = MatchingRuleRow.__table__
OF_PLACE = (
    select(*(TABLE.c[name] for name in ("id", "kind", "words", "method", "service", "person_id")))
    .where(TABLE.c.organisation_id == bindparam("place"))
    .order_by(TABLE.c.kind.desc(), TABLE.c.words)
)
"""Built once."""


def of_place(unit: Unit) -> Sequence[Found]:
    """The rules of the viewer's organisation, by kind and words: what each says."""
    return connection(unit).execute(OF_PLACE, {"place": unit.viewer.organisation_id}).all()


def by_words(unit: Unit, kind: str, words: str) -> MatchingRuleRow | None:
    """The rule of the viewer's organisation for these words, if there is one."""
    return unit.session.scalar(
        select(MatchingRuleRow).where(
            MatchingRuleRow.organisation_id == unit.viewer.organisation_id,
            MatchingRuleRow.kind == kind,
            MatchingRuleRow.words == words,
        )
    )


def keep(unit: Unit, row: MatchingRuleRow) -> None:
    """Keep a new rule."""
    unit.session.add(row)
    unit.session.flush()


def remove(unit: Unit, rule_id: str) -> None:
    """Remove a rule of the viewer's organisation. Raises NotFound."""
    unit.session.delete(unit.ours(MatchingRuleRow, rule_id))
    unit.session.flush()
