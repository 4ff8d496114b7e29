"""Access codes of other programs: hashes alone, and how often each was used this minute."""

from collections.abc import Sequence
from datetime import date, datetime

from sqlalchemy import ForeignKey, bindparam, select, update
from sqlalchemy.orm import Mapped, mapped_column

from trainer.core.problems import NotFound
from trainer.store.base import Base, Id, new_id
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit


class AccessTokenRow(Base):
    """One code, of one organisation, for one purpose.

    `minute` counts whole minutes since 1970; `taken` is how many calls were set aside in it.
    """

    __tablename__ = "access_tokens"
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    token_hash: Mapped[str] = mapped_column(unique=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"), index=True)
    purpose: Mapped[str]
    label: Mapped[str]
    made_by: Mapped[str] = mapped_column(ForeignKey("persons.id"))
    made_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    last_used_on: Mapped[date | None]
    minute: Mapped[int] = mapped_column(default=0)
    taken: Mapped[int] = mapped_column(default=0)


TOKENS = AccessTokenRow.__table__
OPENED = select(TOKENS.c.id, TOKENS.c.organisation_id, TOKENS.c.purpose).where(
    TOKENS.c.token_hash == bindparam("hash"), TOKENS.c.ended_at.is_(None)
)
"""Built once: it is asked with every call."""


def opened(unit: Unit, token_hash: str) -> Found | None:
    """The code of that hash while it is open: id, organisation_id, purpose."""
    return connection(unit).execute(OPENED, {"hash": token_hash}).first()


def open_ones(unit: Unit) -> Sequence[AccessTokenRow]:
    """The open codes of the viewer's organisation, oldest first."""
    return unit.session.scalars(
        select(AccessTokenRow)
        .where(
            AccessTokenRow.organisation_id == unit.viewer.organisation_id,
            AccessTokenRow.ended_at.is_(None),
        )
        .order_by(AccessTokenRow.made_at, AccessTokenRow.id)
    ).all()


def open_one(unit: Unit, token_id: str) -> AccessTokenRow:
    """An open code of the viewer's organisation. Raises NotFound."""
    row = unit.ours(AccessTokenRow, token_id)
    if row.ended_at is not None:
        raise NotFound
    return row


def keep(unit: Unit, row: AccessTokenRow) -> None:
    """Keep a new code."""
    unit.session.add(row)
    unit.session.flush()


def set_aside(unit: Unit, token_id: str, minute: int, calls: int, most: int, day: date) -> bool:
    """Set calls of this minute aside, if that many are left of `most`; all processes share them."""
    fresh = TOKENS.c.minute < minute
    room = (TOKENS.c.minute == minute) & (TOKENS.c.taken + calls <= most)
    taken = (
        update(AccessTokenRow)
        .where(TOKENS.c.id == token_id, fresh)
        .values(minute=minute, taken=calls, last_used_on=day)
    )
    if unit.connection.execute(taken).rowcount:
        return True
    more = (
        update(AccessTokenRow)
        .where(TOKENS.c.id == token_id, room)
        .values(taken=TOKENS.c.taken + calls, last_used_on=day)
    )
    return bool(unit.connection.execute(more).rowcount)
