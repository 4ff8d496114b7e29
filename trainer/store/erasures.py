"""Who has asked to be taken out, what was decided, and that it was done."""

from collections.abc import Sequence
from datetime import date, datetime

from sqlalchemy import ForeignKey, Select, Text, func, select
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.people import MembershipRow
from trainer.store.unit import Unit

ASKED, SET, CALLED_BACK, DONE = "asked", "set", "called_back", "done"


class ErasureRow(Base):
    """One wish to be taken out. `pending` is the person's id while it is open.

    `entered_by`: the person themselves, an administrator who has it in writing, or '' for the
    machine's own command. `due_on`: not before that day, chosen with `why`. `ended_*`: called
    back. `number`: what stands in the place of the name. `organisation_id`: where it was done.
    """

    __tablename__ = "erasures"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    person_id: Mapped[str] = mapped_column(ForeignKey("persons.id"), index=True)
    pending: Mapped[str | None] = mapped_column(Id, unique=True)
    entered_by: Mapped[str] = mapped_column(Id)
    asked_at: Mapped[datetime]
    due_on: Mapped[date | None]
    why: Mapped[str] = mapped_column(Text, default="", server_default="")
    decided_by: Mapped[str | None] = mapped_column(Id)
    decided_at: Mapped[datetime | None]
    ended_by: Mapped[str | None] = mapped_column(Id)
    ended_at: Mapped[datetime | None]
    ended_why: Mapped[str] = mapped_column(Text, default="", server_default="")
    organisation_id: Mapped[str | None] = mapped_column(ForeignKey("organisations.id"), index=True)
    done_by: Mapped[str | None] = mapped_column(Id)
    done_at: Mapped[datetime | None]
    number: Mapped[int | None] = mapped_column(unique=True)

    @property
    def state(self) -> str:
        """asked, set (a day is chosen), called_back or done."""
        if self.done_at is not None:
            return DONE
        if self.ended_at is not None:
            return CALLED_BACK
        return SET if self.due_on is not None else ASKED


def latest(unit: Unit, person_id: str) -> ErasureRow | None:
    """A person's last wish, or None."""
    return unit.session.scalar(
        select(ErasureRow)
        .where(ErasureRow.person_id == person_id)
        .order_by(ErasureRow.pending.is_(None), ErasureRow.asked_at.desc(), ErasureRow.id)
        .limit(1)
    )


def pending(unit: Unit, person_id: str) -> ErasureRow | None:
    """A person's wish that is open, or None."""
    return unit.session.scalar(
        select(ErasureRow).where(ErasureRow.pending == person_id).with_for_update()
    )


def in_sight(unit: Unit, erasure_id: str) -> ErasureRow:
    """An open wish of somebody who belongs or belonged to the viewer's house. Raises NotFound."""
    row = unit.session.scalar(
        _in_sight(unit).where(ErasureRow.id == erasure_id).with_for_update(of=ErasureRow)
    )
    if row is None:
        raise NotFound
    return row


def waiting(unit: Unit) -> Sequence[ErasureRow]:
    """Every open wish of somebody who belongs or belonged to the viewer's house, oldest first."""
    return unit.session.scalars(_in_sight(unit).order_by(ErasureRow.asked_at)).all()


def waiting_anywhere(unit: Unit) -> Sequence[ErasureRow]:
    """Every open wish, oldest first; for whoever runs the machine."""
    chosen = select(ErasureRow).where(ErasureRow.pending.is_not(None))
    return unit.session.scalars(chosen.order_by(ErasureRow.asked_at)).all()


def done_here(unit: Unit, most: int) -> Sequence[ErasureRow]:
    """What was carried out in the viewer's house, newest first."""
    return unit.session.scalars(
        select(ErasureRow)
        .where(
            ErasureRow.organisation_id == unit.viewer.organisation_id,
            ErasureRow.done_at.is_not(None),
        )
        .order_by(ErasureRow.done_at.desc())
        .limit(most)
    ).all()


def next_number(unit: Unit) -> int:
    """The number after the highest that stands in the place of a name."""
    return (unit.session.scalar(select(func.max(ErasureRow.number))) or 0) + 1


def keep(unit: Unit, row: ErasureRow) -> None:
    """Keep a new one."""
    unit.session.add(row)
    unit.session.flush()


def _in_sight(unit: Unit) -> Select[ErasureRow]:
    here = select(MembershipRow.person_id).where(
        MembershipRow.organisation_id == unit.viewer.organisation_id
    )
    return select(ErasureRow).where(ErasureRow.pending.in_(here))
