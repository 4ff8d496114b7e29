"""Give an organisation's people out as a OneRoster set."""

from collections.abc import Sequence
from datetime import datetime

from trainer.core.exchange.oneroster import Group, Holding, Person, Roster, compose_set
from trainer.store import people, rosters
from trainer.store.rosters import GROUP, ORG, PERSON, PLACE, ROLE, RosterLinkRow
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log


def give(unit: Unit, now: datetime) -> bytes:
    """Everybody of the viewer's organisation, under the ids that rosters know them by.

    Raises Forbidden.
    """
    unit.viewer.must_be("administrator")
    place = people.organisation(unit, unit.viewer.organisation_id)
    known = _Known(rosters.links(unit, place.id))
    members = people.members(unit)
    source = {row.id: known.of_person(row.id) for row, _ in members}
    persons = [
        Person(source[row.id], row.name, row.email, row.disabled_at is None) for row, _ in members
    ]
    roles = [
        Holding(known.of_holding(ROLE, source[row.id], role), source[row.id], role, True)
        for row, belongs in members
        for role in sorted(belongs.roles)
    ]
    groups = {
        row.id: Group(known.of_group(row.id, row.name), row.name) for row in people.groups(unit)
    }
    places = [
        Holding(
            known.of_holding(PLACE, source[person_id], groups[group_id].id),
            source[person_id],
            groups[group_id].id,
            True,
        )
        for group_id, person_id in rosters.places(unit, place.id)
        if person_id in source
    ]
    orgs = [known.org or place.id]
    roster = Roster(persons, roles, list(groups.values()), places, orgs, frozenset(), ())
    log(unit, "roster.given", {"people": len(persons)}, now)
    return compose_set(place.name, roster, now.date())


class _Known:
    """Ids that rosters have given; ours where they have given none."""

    def __init__(self, rows: Sequence[RosterLinkRow]) -> None:
        self._persons = {r.person_id: r.source_id for r in rows if r.kind == PERSON and r.is_open}
        self._groups = {r.said: r.source_id for r in rows if r.kind == GROUP and r.is_open}
        self._holdings = {
            (r.kind, r.owner, r.said): r.source_id
            for r in rows
            if r.kind in (ROLE, PLACE) and r.is_open
        }
        orgs = sorted(r.source_id for r in rows if r.kind == ORG)
        self.org = orgs[0] if len(orgs) == 1 else ""

    def of_person(self, person_id: str) -> str:
        return self._persons.get(person_id, person_id)

    def of_group(self, group_id: str, name: str) -> str:
        return self._groups.get(name, group_id)

    def of_holding(self, kind: str, owner: str, what: str) -> str:
        return self._holdings.get((kind, owner, what), f"{owner}-{what}")
