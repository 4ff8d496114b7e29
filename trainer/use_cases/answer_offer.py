"""A person says yes or no to a house that asked them; only a yes makes a member."""

from dataclasses import dataclass
from datetime import datetime

from trainer.store import offers, people
from trainer.store.offers import OfferRow
from trainer.store.people import OrganisationRow, PersonRow
from trainer.store.unit import Unit
from trainer.use_cases import keep_people
from trainer.use_cases.keep_log import log
from trainer.use_cases.one_use_links import USED, hashed
from trainer.use_cases.passwords import Passwords, must_be_good
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

ELSE = (
    "Sign in, then say yes. If you have no password yet, press 'I forgot my password' "
    "where you sign in."
)


@dataclass(frozen=True, slots=True)
class Offered:
    """What a house offers. `kind`: academy, salon or both; `until`: it ends then.

    `name`: as the house wrote it; a new account is called so.
    """

    id: str
    place: str
    kind: str
    email: str
    name: str
    roles: tuple[str, ...]
    until: datetime


def mine(unit: Unit, now: datetime) -> tuple[Offered, ...]:
    """What waits for the viewer's answer, of any house."""
    if not unit.viewer.person_id:
        raise Forbidden
    email = people.person(unit, unit.viewer.person_id).email
    return tuple(_offered(*one) for one in offers.waiting_for(unit, email, now))


def accept(unit: Unit, offer_id: str, now: datetime) -> str:
    """The viewer says yes and belongs there from now on; gives the house's id. Raises NotFound."""
    return _join(unit, _to_viewer(unit, offer_id, now), unit.viewer.person_id, now)


def decline(unit: Unit, offer_id: str, now: datetime) -> None:
    """The viewer says no. Raises NotFound."""
    _decline(unit, _to_viewer(unit, offer_id, now), now)


def by_link(unit: Unit, token: str, now: datetime) -> Offered:
    """What a link is about, whoever opens it. Raises InputProblem if it is over."""
    row = _by_token(unit, token, now)
    return _offered(row, people.organisation(unit, row.organisation_id))


def accept_as_new(
    unit: Unit, passwords: Passwords, token: str, password: str, now: datetime
) -> None:
    """Say yes through a link, with the password of a new account.

    Raises InputProblem where the link is over, the address has an account (its password opens that
    and nothing else does), or the password is no good.
    """
    row = _by_token(unit, token, now, to_change=True)
    must_be_good(password, row.name, row.email)
    person = _new_account(unit, row, now)
    person.password_hash = passwords.hash(password)
    person.visit += 1
    _join(unit, row, person.id, now)


def decline_by_link(unit: Unit, token: str, now: datetime) -> None:
    """Say no through a link. Raises InputProblem if it is over."""
    _decline(unit, _by_token(unit, token, now, to_change=True), now)


def _offered(row: OfferRow, place: OrganisationRow) -> Offered:
    house, roles = (place.name, place.kind), tuple(row.roles)
    return Offered(row.id, *house, row.email, row.name, roles, row.expires_at)


def _to_viewer(unit: Unit, offer_id: str, now: datetime) -> OfferRow:
    row = offers.any_offer(unit, offer_id)
    if row.email != people.person(unit, unit.viewer.person_id).email or not row.is_open(now):
        raise NotFound
    return row


def _by_token(unit: Unit, token: str, now: datetime, to_change: bool = False) -> OfferRow:
    row = offers.by_token(unit, hashed(token), to_change)
    if row is None or not row.is_open(now):
        raise InputProblem(USED, "link", "Ask for a new one.")
    return row


def _new_account(unit: Unit, row: OfferRow, now: datetime) -> PersonRow:
    """A new account, or one that this house made and that nobody has opened yet."""
    known = people.person(unit, keep_people.add_person(unit, row.name, row.email, now))
    houses = {one.id for one in people.organisations_of(unit, known.id)}
    if known.password_hash or known.disabled_at or houses - {row.organisation_id}:
        raise InputProblem("is for a new account, and this address has one", "password", ELSE)
    return known


def _join(unit: Unit, row: OfferRow, person_id: str, now: datetime) -> str:
    place = row.organisation_id
    keep_people.join(unit, person_id, place, row.roles, now)
    people.join_groups(unit, person_id, place, row.groups)
    _log(unit, row, "offer.accepted", person_id, now)
    offers.drop_each(unit, [row])
    return place


def _decline(unit: Unit, row: OfferRow, now: datetime) -> None:
    row.declined_at = now
    _log(unit, row, "offer.declined", "", now)


def _log(unit: Unit, row: OfferRow, kind: str, person_id: str, now: datetime) -> None:
    body = {"offer": row.id}
    log(unit, kind, body, now, person_id=person_id, organisation_id=row.organisation_id)
