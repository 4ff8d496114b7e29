"""People and places for tests, made through the use cases."""

from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import count

from argon2 import PasswordHasher
from argon2.profiles import CHEAPEST

from trainer.store import people
from trainer.use_cases import answer_offer, keep_people
from trainer.use_cases.passwords import Passwords
from trainer.use_cases.work import Viewer, Work

NOW = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)
PASSWORD = "copper kettle under seven stairs"
PASSWORDS = Passwords(PasswordHasher.from_parameters(CHEAPEST))
HASH = PASSWORDS.hash(PASSWORD)
NUMBERS = count(1)


@dataclass(frozen=True)
class Someone:
    """A person in an organisation, and how they look at it."""

    id: str
    email: str
    organisation: str
    viewer: Viewer


def an_organisation(work: Work, name: str = "", kind: str = "academy") -> str:
    with work.writing() as unit:
        given = name or f"Place {next(NUMBERS)}"
        return keep_people.found_organisation(unit, given, kind, NOW)


def a_person(work: Work, *roles: str, organisation: str = "", name: str = "") -> Someone:
    """Somebody with roles ('apprentice' if none is named), in a new organisation if none is."""
    place = organisation or an_organisation(work)
    number, given = next(NUMBERS), roles or ("apprentice",)
    with work.writing() as unit:
        email = f"person{number}@example.org"
        person_id = keep_people.add_person(unit, name or f"Person {number}", email, NOW)
        keep_people.join(unit, person_id, place, given, NOW)
        people.person(unit, person_id).password_hash = HASH
    return Someone(person_id, email, place, Viewer(person_id, place, frozenset(given)))


def join_by(work: Work, token: str, at: datetime = NOW) -> None:
    """Say yes to a house through its link, with a new account."""
    with work.writing() as unit:
        answer_offer.accept_as_new(unit, PASSWORDS, token, PASSWORD, at)
