"""Sign in: who is it, and where do they belong?"""

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta

from trainer.store import people, visits
from trainer.store.unit import Unit, Viewer
from trainer.use_cases.passwords import Passwords
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.work import Work

WINDOW = timedelta(minutes=15)
MOST_FOR_ADDRESS, MOST_FOR_PLACE = 8, 60
KEPT = timedelta(days=1)


class TooManyTries(InputProblem):
    """Sign-in is closed for a while."""


@dataclass(frozen=True, slots=True)
class SignedIn:
    """Who is signed in; `visit` goes stale with a new password or when they are disabled.

    `spelling`: the one they chose, '' if none.
    """

    person_id: str
    name: str
    visit: int
    spelling: str = ""


@dataclass(frozen=True, slots=True)
class Proven:
    """Somebody who has just typed their password again."""

    person_id: str


@dataclass(frozen=True, slots=True)
class Belonging:
    """One organisation that a person belongs to."""

    organisation_id: str
    name: str
    kind: str
    roles: frozenset[str]
    spelling: str = "british"
    zone: str = ""
    """Its time zone (IANA name), '' where it named none."""


def sign_in(
    work: Work, passwords: Passwords, email: str, password: str, place: str, now: datetime
) -> SignedIn:
    """Check address and password. `place`: the network address it comes from.

    Raises TooManyTries, or InputProblem that does not tell which of the two was wrong.
    """
    tried = (_hashed("e", email.casefold()), _hashed("p", place))
    with work.reading() as unit:
        _must_be_open(unit, tried, now)
        row = people.by_email(unit, email)
        kept = row.password_hash if row and not row.disabled_at else ""
    if not passwords.fits(kept, password) or row is None:
        _note_failure(work, tried, now)
        raise InputProblem(
            "address or password is not right", "password", "Try again, or ask for a new password."
        )
    with work.writing() as unit:
        people.forget_failures(unit, tried[0])
        found = people.person(unit, row.id)
        if passwords.outdated(kept):
            found.password_hash = passwords.hash(password)
        return SignedIn(found.id, found.name, found.visit, found.spelling)


def prove(work: Work, viewer: Viewer, passwords: Passwords, password: str, now: datetime) -> Proven:
    """The signed-in person types their password again, before something that counts.

    Slow, so it opens short units of its own. Raises TooManyTries, or InputProblem naming the
    field.
    """
    tried = _hashed("a", viewer.person_id)
    with work.reading(viewer) as unit:
        _must_be_open(unit, (tried,), now)
        kept = people.person(unit, viewer.person_id).password_hash
    if not passwords.fits(kept, password):
        _note_failure(work, (tried,), now)
        raise InputProblem("is not your password", "password", "Type it again.")
    return Proven(viewer.person_id)


def forget_tries(unit: Unit, person_id: str, email: str) -> None:
    """Drop the traces of failed sign-ins under an address and of a person's passwords."""
    for tried in (_hashed("e", email.casefold()), _hashed("a", person_id)):
        people.forget_failures(unit, tried)


def visiting(unit: Unit, person_id: str, visit: int) -> tuple[SignedIn, list[Belonging]] | None:
    """The person of a visit and where they belong, by name; None if the visit has ended."""
    rows = visits.visiting(unit, person_id)
    if not rows or rows[0].visit != visit:
        return None
    places = [
        Belonging(
            row.id, row.place, row.kind, frozenset(row.roles), row.house_spelling, row.zone or ""
        )
        for row in rows
        if row.id
    ]
    return SignedIn(person_id, rows[0].name, visit, rows[0].spelling), places


def belongings(unit: Unit, person_id: str) -> list[Belonging]:
    """Where a person belongs, by name."""
    return [
        Belonging(place.id, place.name, place.kind, frozenset(membership.roles), place.spelling)
        for membership, place in people.memberships_of(unit, person_id)
    ]


def viewer_of(person_id: str, where: Belonging | None) -> Viewer:
    """Who looks, for the organisation chosen."""
    if where is None:
        return Viewer(person_id)
    return Viewer(person_id, where.organisation_id, where.roles)


def _must_be_open(unit: Unit, tried: tuple[str, ...], now: datetime) -> None:
    limits = zip(tried, (MOST_FOR_ADDRESS, MOST_FOR_PLACE), strict=False)
    if any(people.failures(unit, who, now - WINDOW) >= most for who, most in limits):
        minutes = int(WINDOW.total_seconds() // 60)
        raise TooManyTries(
            "too many tries", "password", f"Wait {minutes} minutes, or ask for a new password."
        )


def _note_failure(work: Work, tried: tuple[str, ...], now: datetime) -> None:
    with work.writing() as unit:
        people.forget_failures(unit, "", now - KEPT)
        unit.session.add_all(people.SignInFailureRow(who=who, at=now) for who in tried)


def _hashed(kind: str, value: str) -> str:
    return kind + hashlib.sha256(value.encode()).hexdigest()
