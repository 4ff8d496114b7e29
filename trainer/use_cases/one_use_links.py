"""Links that let somebody set a password once."""

import hashlib
import secrets
from datetime import datetime, timedelta

from trainer.store import people
from trainer.store.unit import Unit
from trainer.use_cases.passwords import Passwords, must_be_good
from trainer.use_cases.refusals import InputProblem

RECOVERY = "recovery"
"""The one kind that is made now; an 'invitation' of earlier days opens as well while it lasts."""
USED = "this link was used, is too old or is not complete"


def make_link(unit: Unit, person_id: str, kind: str, lasts: timedelta, now: datetime) -> str:
    """The token of a new link. Only its hash is kept."""
    token = secrets.token_urlsafe()
    unit.session.add(
        people.OneUseLinkRow(
            token_hash=hashed(token), person_id=person_id, kind=kind, expires_at=now + lasts
        )
    )
    return token


def holder(unit: Unit, token: str, now: datetime) -> people.PersonRow:
    """Whose link it is. Raises InputProblem if it was used, is too old or was never made."""
    link = people.link_by_hash(unit, hashed(token))
    if link is None or link.used_at or link.expires_at <= now:
        raise InputProblem(USED, "link", "Ask for a new one.")
    return people.person(unit, link.person_id)


def set_password(unit: Unit, passwords: Passwords, token: str, password: str, now: datetime) -> str:
    """Set a password through a link; end the person's other links and every open visit.

    Gives back the person's id. Raises InputProblem if the link or the password is no good.
    """
    person = holder(unit, token, now)
    must_be_good(password, person.name, person.email)
    for link in people.open_links(unit, person.id, now):
        link.used_at = now
    person.password_hash = passwords.hash(password)
    person.visit += 1
    return person.id


def hashed(token: str) -> str:
    """What is kept of a token."""
    return hashlib.sha256(token.encode()).hexdigest()
