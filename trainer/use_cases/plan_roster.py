"""What taking a roster would change: the difference between what it says and what stands here.

Pure: nothing is read or written. Roles that somebody gave here by hand stay; what an earlier
roster gave, a later one takes away. Whoever does not belong here is asked, never taken in: an
offer that waits for its answer changes and ends like a membership.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from hashlib import sha256
from typing import TypeVar

from trainer.core.exchange.oneroster import (
    CLASSES,
    ENROLMENTS,
    ROLE_ROWS,
    USERS,
    Group,
    Holding,
    Person,
    Roster,
)
from trainer.core.exchange.oneroster_tables import Fault

Told = TypeVar("Told", Holding, Group)
NEW, CHANGED, ENDED, SAME = "new", "changed", "ended", "unchanged"
WAITING, DECLINED = "waiting", "declined"
KINDS = (NEW, CHANGED, ENDED, SAME, WAITING, DECLINED)
"""To be asked; changed; leaving; as before; asked and not answered yet; said no."""


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody as they stand here. `roles` is empty for whoever does not belong any more.

    `asked`: the roles are offered only, and `id` is the offer's.
    """

    id: str
    name: str
    email: str
    roles: frozenset[str]
    groups: frozenset[str] = frozenset()
    asked: bool = False


@dataclass(frozen=True, slots=True)
class Said:
    """What earlier rosters have said, by their ids; `accounts`: theirs -> a member's id."""

    people: Mapping[str, Person] = field(default_factory=dict)
    roles: Mapping[str, Holding] = field(default_factory=dict)
    groups: Mapping[str, Group] = field(default_factory=dict)
    places: Mapping[str, Holding] = field(default_factory=dict)
    orgs: frozenset[str] = frozenset()
    accounts: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Here:
    """What stands here: members by our id and by address, groups by name -> id.

    `elsewhere`: ids of those who belonged to another place first, where alone their name is kept.
    `declined`: addresses that said no, and are not asked again by a file.
    """

    members: Mapping[str, Member]
    by_email: Mapping[str, str]
    groups: Mapping[str, str]
    asker: str = ""
    elsewhere: Collection[str] = ()
    declined: Collection[str] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One person's change. `id` is '' for somebody unknown; groups go by their names.

    `asked`: an offer that waits is meant, and `groups` is all that it holds after.
    """

    kind: str
    id: str
    name: str
    email: str
    before: frozenset[str]
    roles: frozenset[str]
    sources: tuple[str, ...]
    joins: tuple[str, ...] = ()
    leaves: tuple[str, ...] = ()
    new_name: str = ""
    asked: bool = False
    groups: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Plan:
    """Every step, and what the rosters will have said."""

    steps: Sequence[Step]
    said: Said
    new_groups: Sequence[str]
    notes: Sequence[str]

    def of(self, kind: str) -> list[Step]:
        """The steps of a kind, by name."""
        return sorted((s for s in self.steps if s.kind == kind), key=lambda s: (s.name, s.email))

    @property
    def changes(self) -> int:
        """How many people change."""
        return sum(step.kind in (NEW, CHANGED, ENDED) for step in self.steps)

    @property
    def fingerprint(self) -> str:
        """Settled by the changes: what was seen is what is done."""
        parts = [
            f"{s.kind}|{s.id}|{s.email}|{s.name}|{s.new_name}|{sorted(s.roles)}|{s.joins}|{s.leaves}"
            for kind in (NEW, CHANGED, ENDED)
            for s in self.of(kind)
        ]
        return sha256("\n".join([*parts, *self.new_groups]).encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class _Given:
    """What a roster gives to each of its ids of people: our roles, and names of groups."""

    roles: Mapping[str, Collection[str]]
    groups: Mapping[str, Collection[str]]


def plan(roster: Roster, said: Said, here: Here) -> tuple[Plan, list[Fault]]:
    """The steps, and what forbids to take them."""
    now = _merged(roster, said, here)
    by_person: dict[str, list[str]] = {}
    for source in now.people:
        unknown = f"new:{now.people[source].email or source}"
        by_person.setdefault(now.accounts.get(source) or unknown, []).append(source)
    before, after = _given(said), _given(now)
    steps = (_step(sources, said, now, before, after, here) for sources in by_person.values())
    groups = [g.name for g in now.groups.values() if g.on and g.name not in here.groups]
    new_groups = tuple(dict.fromkeys(groups))
    made = Plan([s for s in steps if s], now, new_groups, tuple(roster.notes))
    return made, _forbidden(made, here, roster)


def _merged(roster: Roster, said: Said, here: Here) -> Said:
    """What rosters have said once this one is taken: a bulk table replaces, a delta adds."""
    people = {one.id: one for one in roster.people}
    kept = said.people
    if USERS in roster.bulk:
        kept = {i: replace(one, open=False) for i, one in kept.items()}
    every = {**kept, **people}
    accounts = {i: said.accounts.get(i) or here.by_email.get(p.email, "") for i, p in every.items()}
    return Said(
        every,
        _table(roster.roles, said.roles, ROLE_ROWS in roster.bulk),
        _table(roster.groups, said.groups, CLASSES in roster.bulk),
        _table(roster.places, said.places, ENROLMENTS in roster.bulk),
        said.orgs | set(roster.orgs),
        accounts,
    )


def _table(given: Sequence[Told], known: Mapping[str, Told], bulk: bool) -> dict[str, Told]:
    return {**({} if bulk else known), **{one.id: one for one in given}}


def _step(
    sources: Sequence[str], said: Said, now: Said, earlier: _Given, given: _Given, here: Here
) -> Step | None:
    """The change of one person, whom one or several ids of the roster name."""
    is_open = [now.people[s] for s in sources if now.people[s].open]
    person = (is_open or [now.people[sources[0]]])[0]
    member = here.members.get(now.accounts.get(person.id, ""))
    before = member.roles if member else frozenset()
    by_hand = before - _all(earlier.roles, sources)
    roles = _all(given.roles, sources) | by_hand if is_open else frozenset()
    if not roles and not before:
        return None
    joins, leaves = _groups(sources, earlier, given, member) if roles else ((), ())
    there = member or Member("", person.name, person.email, frozenset())
    ours = bool(before) and not there.asked and there.id not in here.elsewhere
    new_name = _new_name(person, said, there) if roles and ours else ""
    kind = _kind(there, roles, bool(joins or leaves or new_name))
    return Step(
        DECLINED if kind == NEW and there.email in here.declined else kind,
        there.id,
        there.name,
        there.email,
        before,
        roles,
        tuple(sources),
        joins,
        leaves,
        new_name,
        there.asked,
        (there.groups | set(joins)) - set(leaves),
    )


def _kind(there: Member, roles: frozenset[str], more: bool) -> str:
    if not there.roles:
        return NEW
    if not roles:
        return ENDED
    if more or there.roles != roles:
        return CHANGED
    return WAITING if there.asked else SAME


def _given(told: Said) -> _Given:
    """What a roster gives to whom it lets in."""
    roles: dict[str, set[str]] = defaultdict(set)
    groups: dict[str, set[str]] = defaultdict(set)
    let_in = {source for source, person in told.people.items() if person.open}
    for one in told.roles.values():
        if one.on and one.person in let_in:
            roles[one.person].add(one.of)
    for one in told.places.values():
        group = told.groups.get(one.of)
        if one.on and one.person in let_in and group is not None and group.on:
            groups[one.person].add(group.name)
    return _Given(roles, groups)


def _all(given: Mapping[str, Collection[str]], sources: Sequence[str]) -> frozenset[str]:
    return frozenset(one for source in sources for one in given.get(source, ()))


def _groups(
    sources: Sequence[str], earlier: _Given, given: _Given, member: Member | None
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Names of groups that a person joins and leaves; places given by hand stay."""
    there = member.groups if member else frozenset()
    wanted, before = _all(given.groups, sources), _all(earlier.groups, sources)
    return tuple(sorted(wanted - there)), tuple(sorted((before - wanted) & there))


def _new_name(person: Person, said: Said, member: Member) -> str:
    """A name that the roster has changed since it was last taken; '' where it has not."""
    earlier = said.people.get(person.id)
    if earlier is None or earlier.name == person.name:
        return ""
    return person.name if person.name != member.name else ""


def _forbidden(made: Plan, here: Here, roster: Roster) -> list[Fault]:
    """Nobody shuts themselves out, and an organisation keeps an administrator."""
    lines = {one.id: one.line for one in roster.people}
    faults = []
    for step in made.steps:
        loses = "administrator" in step.before and "administrator" not in step.roles
        if loses and step.id == here.asker:
            line = max(lines.get(source, 0) for source in step.sources)
            what = "would take your own right to do this; ask another administrator"
            faults.append(Fault(USERS, line, "", what))
    had = {m.id for m in here.members.values() if "administrator" in m.roles and not m.asked}
    lost = {s.id for s in made.steps if s.id in had and "administrator" not in s.roles}
    gained = any(
        s.kind == CHANGED and not s.asked and "administrator" in s.roles and s.id not in had
        for s in made.steps
    )
    if had and had <= lost and not gained and not faults:
        faults.append(Fault(ROLE_ROWS, 0, "", "would leave nobody who administers this place"))
    return faults
