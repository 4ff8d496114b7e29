"""What whoever runs the machine may do, without signing in: people and organisations."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from trainer.store import people
from trainer.store.unit import Unit
from trainer.use_cases import keep_people
from trainer.use_cases.one_use_links import RECOVERY, make_link
from trainer.use_cases.refusals import InputProblem


def organisations(unit: Unit) -> list[dict[str, Any]]:
    """Every organisation: id, name, kind."""
    return [{"id": o.id, "name": o.name, "kind": o.kind} for o in people.all_organisations(unit)]


def found(unit: Unit, name: str, kind: str, now: datetime) -> str:
    """A new organisation's id."""
    return keep_people.found_organisation(unit, name, kind, now)


def everybody(unit: Unit) -> Iterator[dict[str, Any]]:
    """Every person with where they belong."""
    for row in people.all_persons(unit):
        places = people.memberships_of(unit, row.id)
        yield {
            "id": row.id,
            "name": row.name,
            "email": row.email,
            "disabled": row.disabled_at is not None,
            "memberships": [{"organisation": p.name, "roles": list(m.roles)} for m, p in places],
        }


def link(unit: Unit, email: str, lasts: timedelta, now: datetime) -> dict[str, Any]:
    """The path of a one-use link for somebody who forgot the password."""
    row = _by_email(unit, email)
    return {"id": row.id, "link": f"/set-password/{make_link(unit, row.id, RECOVERY, lasts, now)}"}


def disable(unit: Unit, email: str, disabled: bool, now: datetime) -> None:
    """Close or open somebody's sign-in."""
    keep_people.disable(unit, _by_email(unit, email).id, disabled, now)


def _by_email(unit: Unit, email: str) -> people.PersonRow:
    row = people.by_email(unit, email)
    if row is None:
        raise InputProblem("nobody has this address", "EMAIL", "See `trainer users list`.")
    return row
