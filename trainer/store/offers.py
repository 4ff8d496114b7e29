"""Places in a house that are offered to an address, until somebody answers."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime

from sqlalchemy import ForeignKey, UniqueConstraint, delete, select, update
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.base import Base, Id, new_id
from trainer.store.people import OrganisationRow, portions
from trainer.store.unit import Unit


class OfferRow(Base):
    """What an organisation offers to whoever has an address; gone once taken or withdrawn.

    `name`: as the house wrote it, for an account that is made by taking the offer. `groups`: ids.
    `declined_at`: they said no; the row stays a while, so that no file asks them again. Of the
    link's token only the hash is kept. `unsent_at`: its letter did not go, and nobody has sent
    another since.
    """

    __tablename__ = "offers"
    __table_args__ = (UniqueConstraint("organisation_id", "email"),)
    id: Mapped[str] = mapped_column(Id, primary_key=True, default=new_id)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisations.id"))
    email: Mapped[str] = mapped_column(index=True)
    name: Mapped[str]
    roles: Mapped[list[str]]
    groups: Mapped[list[str]]
    asked_by: Mapped[str | None] = mapped_column(ForeignKey("persons.id"))
    asked_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    declined_at: Mapped[datetime | None]
    token_hash: Mapped[str] = mapped_column(unique=True)
    unsent_at: Mapped[datetime | None]

    def is_open(self, now: datetime) -> bool:
        """Whether it waits for an answer."""
        return self.declined_at is None and self.expires_at > now


def of_house(unit: Unit) -> Sequence[OfferRow]:
    """Every offer of the viewer's organisation, by address."""
    return unit.session.scalars(
        select(OfferRow)
        .where(OfferRow.organisation_id == unit.viewer.organisation_id)
        .order_by(OfferRow.email)
    ).all()


def to_addresses(unit: Unit, emails: Collection[str]) -> Mapping[str, OfferRow]:
    """Address -> what the viewer's organisation offers there; the others are not in it."""
    found: dict[str, OfferRow] = {}
    for some in portions(sorted(emails)):
        rows = unit.session.scalars(
            select(OfferRow).where(
                OfferRow.organisation_id == unit.viewer.organisation_id, OfferRow.email.in_(some)
            )
        )
        found |= {row.email: row for row in rows}
    return found


def waiting_for(
    unit: Unit, email: str, now: datetime
) -> Sequence[tuple[OfferRow, OrganisationRow]]:
    """What any organisation offers to an address today, by the organisation's name."""
    rows = unit.session.execute(
        select(OfferRow, OrganisationRow)
        .join(OrganisationRow, OrganisationRow.id == OfferRow.organisation_id)
        .where(OfferRow.email == email, OfferRow.declined_at.is_(None), OfferRow.expires_at > now)
        .order_by(OrganisationRow.name, OfferRow.id)
    )
    return [(row[0], row[1]) for row in rows]


def by_token(unit: Unit, token_hash: str, to_change: bool = False) -> OfferRow | None:
    """An offer by its token's hash; held until the unit ends if `to_change`."""
    chosen = select(OfferRow).where(OfferRow.token_hash == token_hash)
    return unit.session.scalar(chosen.with_for_update() if to_change else chosen)


def alone(unit: Unit) -> None:
    """Let nobody else ask for the viewer's organisation, nor answer it, until the unit ends.

    The house's row is held so that whoever answers may still become a member of it.
    """
    place = unit.viewer.organisation_id
    house = select(OrganisationRow.id).where(OrganisationRow.id == place)
    unit.session.execute(house.with_for_update(key_share=True))
    theirs = select(OfferRow).where(OfferRow.organisation_id == place).order_by(OfferRow.id)
    unit.session.scalars(theirs.with_for_update()).all()


def offer(unit: Unit, offer_id: str) -> OfferRow:
    """An offer of the viewer's organisation. Raises NotFound."""
    return unit.ours(OfferRow, offer_id)


def any_offer(unit: Unit, offer_id: str) -> OfferRow:
    """An offer of any organisation, held until the unit ends. Raises NotFound."""
    return unit.one(OfferRow, offer_id, to_change=True)


def not_sent(unit: Unit, token_hashes: Collection[str], now: datetime) -> None:
    """Note that the letters with these links did not go; a link that was replaced stays out."""
    for some in portions(sorted(token_hashes)):
        meant = OfferRow.token_hash.in_(some)
        unit.session.execute(update(OfferRow).where(meant).values(unsent_at=now))


def keep_each(unit: Unit, rows: Collection[OfferRow]) -> None:
    """Keep new ones."""
    unit.session.add_all(rows)
    unit.session.flush()


def drop_each(unit: Unit, rows: Collection[OfferRow]) -> None:
    """Take them away."""
    for row in rows:
        unit.session.delete(row)
    unit.session.flush()


def forget(unit: Unit, ran_out: datetime, declined: datetime) -> None:
    """Drop every organisation's that ran out, or were declined, before these moments.

    What another house holds just now is left to the next time.
    """
    over = OfferRow.declined_at.is_(None) & (OfferRow.expires_at < ran_out)
    chosen = select(OfferRow.id).where(over | (OfferRow.declined_at < declined))
    free = unit.session.scalars(chosen.with_for_update(skip_locked=True)).all()
    for some in portions(free):
        unit.session.execute(delete(OfferRow).where(OfferRow.id.in_(some)))
