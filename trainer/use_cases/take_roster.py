"""Take people in from a OneRoster set: look first, then all of it or nothing.

Whoever does not belong here is asked, and the look shows of them only what the file says.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
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
from trainer.store import offers, people, rosters
from trainer.store.first_houses import came_before
from trainer.store.offers import OfferRow
from trainer.store.rosters import GROUP, ORG, PERSON, PLACE, ROLE, RosterLinkRow
from trainer.store.unit import Unit
from trainer.use_cases import keep_people, offer_membership
from trainer.use_cases.keep_log import log
from trainer.use_cases.offer_membership import ToTell, Wanted
from trainer.use_cases.plan_roster import (
    CHANGED,
    ENDED,
    KINDS,
    NEW,
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
    return Look(*plan(roster, *_standing(unit, said, now)))


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
) -> list[ToTell]:
    """Do what a file says, all of it, in the viewer's organisation.

    `seen`: fingerprint of the plan that was shown; where it has changed since, nothing is done.
    Gives back who was asked. Raises InputProblem, Forbidden.
    """
    unit.viewer.must_be("administrator")
    offers.alone(unit)
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
    accounts = _accounts(found.plan, _said(unit).accounts)
    asked = _ask(unit, found.plan, groups, lasts, now)
    _change(unit, [step for step in found.plan.steps if not step.asked], groups, now)
    rosters.put_links(unit, unit.viewer.organisation_id, _links(unit, found.plan, accounts))
    rosters.drop_drafts(unit)
    counts = {kind: len(found.plan.of(kind)) for kind in KINDS}
    log(unit, "roster.taken", {**counts, "sha256": sha256(content).hexdigest()}, now)
    return asked


def _ask(
    unit: Unit, made: Plan, groups: Mapping[str, str], lasts: timedelta, now: datetime
) -> list[ToTell]:
    """Make, change and withdraw offers. `groups`: name -> id."""

    def wanted(step: Step) -> Wanted:
        return Wanted(step.name, step.email, step.roles, [groups[one] for one in step.groups])

    new = made.of(NEW)
    tokens = offer_membership.offer_each(unit, [wanted(step) for step in new], lasts, now)
    changed = {step.email: wanted(step) for step in made.of(CHANGED) if step.asked}
    offer_membership.change(unit, changed, now)
    ended = [step.email for step in made.of(ENDED) if step.asked]
    offer_membership.withdraw_each(unit, ended, now)
    return [ToTell(step.name, step.email, tokens[step.email]) for step in new]


def _change(unit: Unit, steps: Sequence[Step], groups: Mapping[str, str], now: datetime) -> None:
    """Change members, each kind of change for everybody at once. `groups`: name -> id."""
    changed = [step for step in steps if step.kind == CHANGED]
    roles = {step.id: step.roles for step in changed if step.roles != step.before}
    keep_people.join_each(unit, roles, unit.viewer.organisation_id, now)
    keep_people.end_each(unit, [step.id for step in steps if step.kind == ENDED], now)
    for step in changed:
        if step.new_name:
            people.person(unit, step.id).name = keep_people.a_name(step.new_name)
            log(unit, "person.renamed", {"person": step.id}, now, person_id=step.id)
        for name in step.joins:
            rosters.add_place(unit, groups[name], step.id)
        for name in step.leaves:
            rosters.end_place(unit, groups[name], step.id)


def _accounts(made: Plan, before: Mapping[str, str]) -> dict[str, str]:
    """Theirs -> our person's id. Of whoever is only asked, what was known before stays."""
    asked = {source for step in made.steps if step.asked for source in step.sources}
    known = {one: held for one, held in made.said.accounts.items() if one not in asked}
    return known | {one: before[one] for one in asked if one in before}


def _standing(unit: Unit, said: Said, now: datetime) -> tuple[Said, Here]:
    """Members, and whoever is asked: nobody else is looked for, whatever addresses a file names."""
    names = {row.id: row.name for row in people.groups(unit)}
    ours = _members(unit, names)
    offered = offers.of_house(unit)
    waiting = {one.id: _offered(one, names) for one in offered if one.is_open(now)}
    by_email = {one.email: one.id for one in [*waiting.values(), *ours.values()]}
    left = _left(unit, said, ours)
    accounts = dict(said.accounts)
    for source, person_id in said.accounts.items():
        if person_id in left:
            accounts[source] = by_email.get(left[person_id].email, person_id)
    here = Here(
        left | waiting | ours,
        by_email,
        {name: group_id for group_id, name in names.items()},
        unit.viewer.person_id,
        came_before(unit, ours),
        frozenset(one.email for one in offered if one.declined_at),
    )
    return replace(said, accounts=accounts), here


def _members(unit: Unit, names: Mapping[str, str]) -> dict[str, Member]:
    """Everybody who belongs here by their ids. `names`: of groups."""
    places: dict[str, set[str]] = {}
    for group_id, person_id in rosters.places(unit, unit.viewer.organisation_id):
        places.setdefault(person_id, set()).add(names[group_id])
    return {
        row.id: Member(
            row.id, row.name, row.email, frozenset(m.roles), frozenset(places.get(row.id, ()))
        )
        for row, m in people.members(unit)
    }


def _offered(row: OfferRow, names: Mapping[str, str]) -> Member:
    groups = frozenset(names[one] for one in row.groups if one in names)
    return Member(row.id, row.name, row.email, frozenset(row.roles), groups, asked=True)


def _left(unit: Unit, said: Said, ours: Mapping[str, Member]) -> dict[str, Member]:
    """Whom rosters brought and who has left, by the address they had and the name of the file."""
    names = {person_id: said.people[one].name for one, person_id in said.accounts.items()}
    rows = people.named(unit, names.keys() - ours.keys(), ())
    return {row.id: Member(row.id, names[row.id], row.email, frozenset()) for row in rows}


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
