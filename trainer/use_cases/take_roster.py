"""Take people in from a OneRoster set: look first, then all of it or nothing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256

from trainer.core.exchange.oneroster import (
    CLASSES,
    ORGS,
    USERS,
    Group,
    Holding,
    Person,
    read_roster,
)
from trainer.core.exchange.oneroster_tables import Fault
from trainer.store import people, rosters
from trainer.store.first_houses import came_before
from trainer.store.rosters import GROUP, ORG, PERSON, PLACE, ROLE, RosterLinkRow
from trainer.store.unit import Unit
from trainer.use_cases import keep_people
from trainer.use_cases.keep_log import log
from trainer.use_cases.plan_roster import (
    CHANGED,
    ENDED,
    NEW,
    SAME,
    Here,
    Member,
    Plan,
    Said,
    Step,
    plan,
)
from trainer.use_cases.refusals import InputProblem


@dataclass(frozen=True, slots=True)
class Look:
    """What a file would change (None where it cannot be used), and what is wrong with it."""

    plan: Plan | None
    faults: Sequence[Fault]


@dataclass(frozen=True, slots=True)
class Invited:
    """Somebody new, and the token of their one-use link ('' where they have an account)."""

    name: str
    email: str
    token: str


def look(unit: Unit, content: bytes, now: datetime) -> Look:
    """What taking a file would change in the viewer's organisation; changes nothing.

    Raises Forbidden.
    """
    unit.viewer.must_be("administrator")
    said = _said(unit)
    known = {
        USERS: frozenset(said.people),
        ORGS: said.orgs,
        CLASSES: frozenset(said.groups),
    }
    roster, faults = read_roster(content, now.date(), known)
    if roster is None:
        return Look(None, faults)
    made, faults = plan(roster, said, _here(unit, roster.people, said))
    return Look(made, faults)


def keep(unit: Unit, content: bytes, now: datetime) -> str:
    """Keep a file that was looked at until it is taken; gives its id."""
    unit.viewer.must_be("administrator")
    return rosters.keep_draft(unit, content, now)


def kept(unit: Unit, draft_id: str) -> bytes:
    """A file that the viewer has kept. Raises NotFound."""
    unit.viewer.must_be("administrator")
    return rosters.draft(unit, draft_id)


def take(
    unit: Unit, content: bytes, lasts: timedelta, now: datetime, seen: str = ""
) -> list[Invited]:
    """Do what a file says, all of it, in the viewer's organisation.

    `seen`: fingerprint of the plan that was shown; where it has changed since, nothing is done.
    Gives back who is new. Raises InputProblem, Forbidden.
    """
    found = look(unit, content, now)
    if found.plan is None or found.faults:
        first = found.faults[0]
        raise InputProblem(first.what, f"{first.file}, line {first.line}", "Mend the file.")
    if seen and seen != found.plan.fingerprint:
        raise InputProblem(
            "something here has changed since you looked", "the roster", "Look again, then take it."
        )
    groups = {name: group_id for group_id, name in keep_people.list_groups(unit)}
    for name in found.plan.new_groups:
        groups[name] = keep_people.make_group(unit, name)
    done = _done(unit, found.plan.steps, groups, now)
    invited = _invited(unit, [one for one in done if one[1].kind == NEW], lasts, now)
    accounts: dict[str, str] = dict(found.plan.said.accounts)
    for person_id, step in done:
        accounts |= dict.fromkeys(step.sources, person_id)
    rosters.put_links(unit, unit.viewer.organisation_id, _links(unit, found.plan, accounts))
    rosters.drop_drafts(unit)
    counts = {kind: len(found.plan.of(kind)) for kind in (NEW, CHANGED, ENDED, SAME)}
    log(unit, "roster.taken", {**counts, "sha256": sha256(content).hexdigest()}, now)
    return invited


def _done(
    unit: Unit, steps: Sequence[Step], groups: Mapping[str, str], now: datetime
) -> list[tuple[str, Step]]:
    """Take all steps, each kind of change for everybody at once; gives the id of each one's person.

    `groups`: name -> id.
    """
    unknown = {step.email: step.name for step in steps if not step.id}
    new = keep_people.add_people(unit, unknown, now)
    done = [(step.id or new[step.email], step) for step in steps]
    roles = {
        person_id: step.roles
        for person_id, step in done
        if step.kind != ENDED and step.roles != step.before
    }
    keep_people.join_each(unit, roles, unit.viewer.organisation_id, now)
    ended = [person_id for person_id, step in done if step.kind == ENDED]
    keep_people.end_each(unit, ended, now)
    for person_id, step in done:
        if step.new_name:
            people.person(unit, person_id).name = step.new_name
            log(unit, "person.renamed", {"person": person_id}, now, person_id=person_id)
        for name in step.joins:
            rosters.add_place(unit, groups[name], person_id)
        for name in step.leaves:
            rosters.end_place(unit, groups[name], person_id)
    return done


def _invited(
    unit: Unit, new: Sequence[tuple[str, Step]], lasts: timedelta, now: datetime
) -> list[Invited]:
    """A link for each of the new who cannot sign in yet."""
    tokens = keep_people.invitations(unit, [person_id for person_id, _ in new], lasts, now)
    return [Invited(step.name, step.email, tokens[person_id]) for person_id, step in new]


def _here(unit: Unit, wanted: Sequence[Person], said: Said) -> Here:
    """Everybody concerned: those who belong, those whom rosters named, those with an address."""
    names = {row.id: row.name for row in people.groups(unit)}
    places: dict[str, set[str]] = {}
    for group_id, person_id in rosters.places(unit, unit.viewer.organisation_id):
        places.setdefault(person_id, set()).add(names[group_id])
    members = {
        row.id: Member(
            row.id, row.name, row.email, frozenset(m.roles), frozenset(places.get(row.id, ()))
        )
        for row, m in people.members(unit)
    }
    emails = {one.email for one in wanted if one.email}
    for row in people.named(unit, said.accounts.values(), emails):
        members.setdefault(row.id, Member(row.id, row.name, row.email, frozenset()))
    by_email = {one.email: one.id for one in members.values()}
    ids = {name: group_id for group_id, name in names.items()}
    elsewhere = came_before(unit, members)
    return Here(members, by_email, ids, unit.viewer.person_id, elsewhere)


def _said(unit: Unit) -> Said:
    """What earlier rosters said to the viewer's organisation."""
    rows = rosters.links(unit, unit.viewer.organisation_id)
    kinds: dict[str, list[RosterLinkRow]] = {}
    for row in rows:
        kinds.setdefault(row.kind, []).append(row)
    persons = kinds.get(PERSON, ())
    return Said(
        {r.source_id: Person(r.source_id, r.said, r.email, r.is_open) for r in persons},
        {r.source_id: _holding(r) for r in kinds.get(ROLE, ())},
        {r.source_id: Group(r.source_id, r.said, r.is_open) for r in kinds.get(GROUP, ())},
        {r.source_id: _holding(r) for r in kinds.get(PLACE, ())},
        frozenset(r.source_id for r in kinds.get(ORG, ())),
        {r.source_id: r.person_id for r in persons if r.person_id},
    )


def _holding(row: RosterLinkRow) -> Holding:
    return Holding(row.source_id, row.owner, row.said, row.is_open)


def _links(unit: Unit, made: Plan, accounts: Mapping[str, str]) -> list[RosterLinkRow]:
    """What rosters have said by now, as rows."""
    said = made.said

    def row(kind: str, source_id: str, words: str = "", is_open: bool = True) -> RosterLinkRow:
        return RosterLinkRow(
            organisation_id=unit.viewer.organisation_id,
            kind=kind,
            source_id=source_id,
            said=words,
            is_open=is_open,
        )

    found = [row(GROUP, i, g.name, g.on) for i, g in said.groups.items()]
    found += [row(ORG, i) for i in sorted(said.orgs)]
    for source_id, person in said.people.items():
        one = row(PERSON, source_id, person.name, person.open)
        one.person_id = accounts.get(source_id) or None
        one.email = "" if one.person_id else person.email
        found.append(one)
    for kind, holdings in ((ROLE, said.roles), (PLACE, said.places)):
        for source_id, holding in holdings.items():
            one = row(kind, source_id, holding.of, holding.on)
            one.owner = holding.person
            found.append(one)
    return found
