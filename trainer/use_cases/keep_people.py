"""Who belongs where, in which roles and groups."""

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from unicodedata import normalize

from trainer.store import people
from trainer.store.first_houses import came_before
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log, log_each
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS, EVERYBODY, INVITERS

LONGEST_NAME = 120
UNSEEN = re.compile(
    "[\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]"
)
"""Control signs and those that set the direction of text (Unicode Annex 9); joiners stay."""


@dataclass(frozen=True, slots=True)
class Member:
    """A person of the organisation as a list shows them."""

    id: str
    name: str
    email: str
    roles: tuple[str, ...]
    groups: tuple[str, ...]
    invited: bool
    disabled: bool


def list_members(unit: Unit) -> list[Member]:
    """Everybody of the viewer's organisation."""
    unit.viewer.must_be(*ASKERS)
    names = {row.id: row.name for row in people.groups(unit)}
    return [_member(unit, row, belongs, names) for row, belongs in people.members(unit)]


def see_member(unit: Unit, person_id: str) -> Member:
    """One member. Raises NotFound for anybody else."""
    unit.viewer.must_be(*ASKERS)
    row, belongs = people.member(unit, person_id)
    return _member(unit, row, belongs, {g.id: g.name for g in people.groups(unit)})


def _member(
    unit: Unit, row: people.PersonRow, belongs: people.MembershipRow, names: dict[str, str]
) -> Member:
    groups = tuple(sorted(names[g] for g in people.groups_of(unit, row.id) if g in names))
    return Member(
        row.id,
        row.name,
        row.email,
        tuple(belongs.roles),
        groups,
        not row.password_hash,
        row.disabled_at is not None,
    )


def found_organisation(unit: Unit, name: str, kind: str, now: datetime) -> str:
    """A new organisation; for the command line and the demo. Gives back its id."""
    if kind not in ("academy", "salon", "both"):
        raise InputProblem(f"{kind!r} is no kind", "kind", "Use academy, salon or both.")
    row = people.OrganisationRow(name=a_name(name), kind=kind, created_at=now)
    unit.session.add(row)
    unit.session.flush()
    log(unit, "organisation.founded", {"kind": kind}, now, organisation_id=row.id)
    return row.id


def add_person(unit: Unit, name: str, email: str, now: datetime) -> str:
    """The person with this address, made if new. Gives back the id. Raises InputProblem."""
    known = people.by_email(unit, email)
    if known:
        return known.id
    return people.keep_once(unit, a_name(name), an_address(email), now).id


def join(
    unit: Unit, person_id: str, organisation_id: str, roles: Sequence[str], now: datetime
) -> None:
    """Make a person a member with these roles, or change the roles. Raises InputProblem."""
    join_each(unit, {person_id: roles}, organisation_id, now)


def join_each(
    unit: Unit, roles: Mapping[str, Collection[str]], organisation_id: str, now: datetime
) -> None:
    """The same for several people at once: id -> roles. Raises InputProblem."""
    for wanted in roles.values():
        must_be_roles(wanted)
    known = people.memberships(unit, roles, organisation_id)
    for person_id, wanted in roles.items():
        row = known.get(person_id)
        if row is None:
            row = people.MembershipRow(
                person_id=person_id, organisation_id=organisation_id, since=now
            )
            unit.session.add(row)
        row.roles, row.ended_at = sorted(wanted), None
    unit.session.flush()
    told = [(one, {"person": one, "roles": sorted(wanted)}) for one, wanted in roles.items()]
    if told:
        log_each(unit, "member.roles", told, now, organisation_id=organisation_id)


def change_member(
    unit: Unit, person_id: str, roles: Sequence[str], group_ids: Sequence[str], now: datetime
) -> None:
    """Give a member of the viewer's organisation these roles and groups; administrators only."""
    unit.viewer.must_be("administrator")
    people.member(unit, person_id)
    if person_id == unit.viewer.person_id and "administrator" not in roles:
        raise InputProblem(
            "you cannot take this role from yourself", "roles", "Ask another administrator."
        )
    join(unit, person_id, unit.viewer.organisation_id, roles, now)
    people.set_groups(unit, person_id, group_ids)


def rename(unit: Unit, person_id: str, name: str, now: datetime) -> None:
    """Change what a member is called; administrators. Records keep the name they were issued under.

    Whoever belonged elsewhere before is called so everywhere: that place alone may change it.
    Raises NotFound, Forbidden, InputProblem naming the field.
    """
    unit.viewer.must_be("administrator")
    row, _ = people.member(unit, person_id)
    if came_before(unit, [person_id]):
        raise InputProblem(
            "is kept where they belonged before they came here", "name", "Ask there for the change."
        )
    wanted = a_name(name)
    if wanted == row.name:
        raise InputProblem("is the name already", "name", "Write the new one.")
    row.name = wanted
    unit.session.flush()
    log(unit, "person.renamed", {"person": person_id}, now, person_id=person_id)


def end_membership(unit: Unit, person_id: str, now: datetime) -> None:
    """A member leaves the viewer's organisation: they see nothing of it from now on."""
    unit.viewer.must_be("administrator")
    people.member(unit, person_id)
    if person_id == unit.viewer.person_id:
        raise InputProblem("you cannot remove yourself", "person", "Ask another administrator.")
    end_each(unit, [person_id], now)


def end_each(unit: Unit, person_ids: Sequence[str], now: datetime) -> None:
    """Access of members ends; records, answers and accounts stay."""
    known = people.memberships(unit, person_ids, unit.viewer.organisation_id)
    for row in known.values():
        row.ended_at = now
    people.leave_groups(unit, list(known))
    told = [(one, {"person": one}) for one in person_ids if one in known]
    if told:
        log_each(unit, "member.left", told, now)


def disable(unit: Unit, person_id: str, disabled: bool, now: datetime) -> None:
    """Close or open a person's sign-in; for the command line. Ends every open visit."""
    row = people.person(unit, person_id)
    row.disabled_at = now if disabled else None
    row.visit += 1
    kind = "person.disabled" if disabled else "person.enabled"
    log(unit, kind, {"person": person_id}, now, person_id=person_id)


def list_groups(unit: Unit) -> list[tuple[str, str]]:
    """The groups of the viewer's organisation: (id, name)."""
    return [(row.id, row.name) for row in people.groups(unit)]


def make_group(unit: Unit, name: str) -> str:
    """A new group; administrators and instructors. Raises InputProblem if the name is taken."""
    unit.viewer.must_be(*INVITERS)
    made = people.keep_group(unit, a_name(name))
    if made is None:
        raise InputProblem("is already a group", "name", "Choose another name.")
    return made


def a_name(name: str) -> str:
    """A name in one line, without signs that nobody sees and that could turn its letters round.

    Raises InputProblem.
    """
    found = " ".join(UNSEEN.sub("", normalize("NFC", name)).split())
    if not 0 < len(found) <= LONGEST_NAME:
        raise InputProblem("needs a name", "name", f"Write 1 to {LONGEST_NAME} characters.")
    return found


def an_address(email: str) -> str:
    """An e-mail address as it is kept. Raises InputProblem."""
    found = email.strip().casefold()
    if "@" not in found or any(sign.isspace() for sign in found):
        raise InputProblem("is no e-mail address", "email", "Write it in full.")
    return found


def must_be_roles(roles: Collection[str]) -> None:
    """Raises InputProblem unless there is a role, and each is one of ours."""
    if not roles or set(roles) - set(EVERYBODY):
        raise InputProblem("needs at least one role", "roles", f"Choose of {', '.join(EVERYBODY)}.")
