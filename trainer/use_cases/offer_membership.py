"""Ask somebody to belong to a house: an offer to an address, which only its person can take.

Nothing here looks whether anybody has the address: the house that asks cannot learn it, and what
it sees is what it wrote. Somebody who belonged here before is asked anew as well.
"""

import secrets
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from trainer.store import offers, people
from trainer.store.offers import OfferRow
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log_each
from trainer.use_cases.keep_people import a_name, an_address, must_be_roles
from trainer.use_cases.one_use_links import hashed
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import INVITERS, Role

KEPT, NO_KEPT = timedelta(days=90), timedelta(days=365)
"""So long an address stands here after its offer ran out, and after a no."""
TWICE = timedelta(minutes=1)
"""Who asks again so soon has pressed twice, and gets the link that works."""
OPEN, DECLINED, RAN_OUT = "open", "declined", "ran_out"


@dataclass(frozen=True, slots=True)
class Wanted:
    """Whom to ask, and as what. `name`: what a new account is called; `groups`: ids."""

    name: str
    email: str
    roles: Collection[str]
    groups: Collection[str] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """One offer as the house that made it sees it; `may_withdraw`: the viewer may end it.

    `unsent`: its letter did not go.
    """

    id: str
    email: str
    roles: tuple[str, ...]
    groups: tuple[str, ...]
    asked_at: datetime
    until: datetime
    state: str
    may_withdraw: bool
    unsent: bool


@dataclass(frozen=True, slots=True)
class ToTell:
    """Somebody who is asked, by the name that the house wrote, and the token of their link."""

    name: str
    email: str
    token: str


def offer(unit: Unit, wanted: Wanted, lasts: timedelta, now: datetime) -> str:
    """Ask one person; gives the token of the link by which they answer.

    An instructor may ask apprentices only. Raises InputProblem naming the field, Forbidden.
    """
    unit.viewer.must_be(*INVITERS)
    if set(wanted.roles) != {"apprentice"}:
        unit.viewer.must_be("administrator")
    email = an_address(wanted.email)
    offers.alone(unit)
    if email in people.addresses_here(unit, [email]):
        raise InputProblem("belongs here already", "email", "Their own page changes roles.")
    _may_be_asked(unit, offers.to_addresses(unit, [email]).get(email), now)
    return offer_each(unit, [wanted], lasts, now)[email]


def offer_each(
    unit: Unit, wanted: Sequence[Wanted], lasts: timedelta, now: datetime
) -> Mapping[str, str]:
    """Ask several who do not belong here, in the place of any offer before: address -> token.

    The caller has made sure that nobody else asks meanwhile (`offers.alone`). Raises InputProblem.
    """
    offers.forget(unit, now - KEPT, now - NO_KEPT)
    tokens: dict[str, str] = {}
    rows: list[OfferRow] = []
    for one in wanted:
        must_be_roles(one.roles)
        email = an_address(one.email)
        tokens[email] = secrets.token_urlsafe()
        rows.append(
            OfferRow(
                organisation_id=unit.viewer.organisation_id,
                email=email,
                name=a_name(one.name),
                roles=sorted(one.roles),
                groups=sorted(one.groups),
                asked_by=unit.viewer.person_id or None,
                asked_at=now,
                expires_at=now + lasts,
                token_hash=hashed(tokens[email]),
            )
        )
    offers.drop_each(unit, offers.to_addresses(unit, tokens).values())
    offers.keep_each(unit, rows)
    _log(unit, "offer.made", rows, now)
    return tokens


def change(unit: Unit, changed: Mapping[str, Wanted], now: datetime) -> None:
    """Offer other roles and groups to addresses that have not answered yet: address -> what."""
    rows = offers.to_addresses(unit, changed)
    for email, row in rows.items():
        row.roles, row.groups = sorted(changed[email].roles), sorted(changed[email].groups)
    unit.session.flush()
    _log(unit, "offer.changed", rows.values(), now)


def withdraw(unit: Unit, offer_id: str, now: datetime) -> str:
    """End an offer that waits for its answer; gives its address. Raises NotFound, Forbidden."""
    offers.alone(unit)
    row = offers.offer(unit, offer_id)
    unit.viewer.must_be(*_enders(row))
    if not row.is_open(now):
        raise InputProblem("has ended already", "The offer", "There is nothing to withdraw.")
    withdraw_each(unit, [row.email], now)
    return row.email


def withdraw_each(unit: Unit, emails: Collection[str], now: datetime) -> None:
    """The same for several addresses."""
    rows = list(offers.to_addresses(unit, emails).values())
    _log(unit, "offer.withdrawn", rows, now)
    offers.drop_each(unit, rows)


def ask_again(unit: Unit, lasts: timedelta, now: datetime) -> list[ToTell]:
    """New links to those whose letter did not go and whom the viewer may ask; the old ones end."""
    unit.viewer.must_be(*INVITERS)
    offers.alone(unit)
    found = []
    for row in offers.of_house(unit):
        if row.unsent_at and row.is_open(now) and unit.viewer.is_a(*_enders(row)):
            found.append(ToTell(row.name, row.email, secrets.token_urlsafe()))
            row.token_hash, row.unsent_at = hashed(found[-1].token), None
            row.expires_at = now + lasts
    unit.session.flush()
    return found


def list_offers(unit: Unit, now: datetime) -> list[Asked]:
    """Whom this house has asked and who does not belong to it yet; by address."""
    unit.viewer.must_be(*INVITERS)
    names = {row.id: row.name for row in people.groups(unit)}
    return [
        Asked(
            row.id,
            row.email,
            tuple(row.roles),
            tuple(sorted(names[one] for one in row.groups if one in names)),
            row.asked_at,
            row.expires_at,
            _state(row, now),
            row.is_open(now) and unit.viewer.is_a(*_enders(row)),
            row.unsent_at is not None,
        )
        for row in offers.of_house(unit)
        if row.expires_at > now - KEPT
    ]


def _may_be_asked(unit: Unit, row: OfferRow | None, now: datetime) -> None:
    """One letter an offer: nobody is asked over and over. Raises InputProblem."""
    if row is None or row.expires_at <= now:
        return
    twice = row.asked_by == (unit.viewer.person_id or None) and now - row.asked_at < TWICE
    if twice and not row.declined_at:
        return
    if row.declined_at:
        day = f"{row.expires_at.day} {row.expires_at:%B}"
        raise InputProblem("said no", "email", f"You can ask again from {day}; talk first.")
    raise InputProblem(
        "is asked already", "email", "Wait for the answer, or withdraw that one on the page People."
    )


def _state(row: OfferRow, now: datetime) -> str:
    if row.declined_at:
        return DECLINED
    return OPEN if row.is_open(now) else RAN_OUT


def _enders(row: OfferRow) -> tuple[Role, ...]:
    """Who may make such an offer may end it."""
    return INVITERS if row.roles == ["apprentice"] else ("administrator",)


def _log(unit: Unit, kind: str, rows: Iterable[OfferRow], now: datetime) -> None:
    """What happened to offers; nobody's address stands there."""
    told = [("", {"offer": row.id, "roles": list(row.roles)}) for row in rows]
    if told:
        log_each(unit, kind, told, now)
