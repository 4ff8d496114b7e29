"""Who needs the instructor today, who is stuck on what, and which wrong idea is behind it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import OBSERVED_SERVICES, TOPICS
from trainer.core.measurement.ability import Band, band
from trainer.store import competencies, people, practice, standings
from trainer.store.competencies import WHOLE
from trainer.store.unit import Unit
from trainer.use_cases.assign_module import Learner, Module, list_open
from trainer.use_cases.certify import Needed, needed
from trainer.use_cases.draw_on_scale import Drawn, drawn
from trainer.use_cases.know_competency import known_of
from trainer.use_cases.know_standard import abilities_needed

ENOUGH = 5
"""Answers on a topic before anybody is called stuck on it."""
OFTEN = 2
"""How often a wrong idea must have shown before it is named."""
ELSEWHERE = ("second_missing", "set_aside")
PAGE = 40
"""People on one page of the table where everybody stands."""
WEIGHT: tuple[str, ...] = tuple(sorted(TOPICS, key=lambda topic: topic == "timings"))
"""Topics by how much a mistake can hurt."""


@dataclass(frozen=True, slots=True)
class Stand:
    """Where somebody stands with a method or topic: a band, drawn, and the answers behind it."""

    band: Band
    drawn: Drawn
    n: int
    right: int


@dataclass(frozen=True, slots=True)
class Idea:
    """A wrong idea: how its holder would say it, how often it showed, and with whom."""

    id: str
    belief: str
    remedy: str
    method: str
    topic: str
    times: int
    last_at: datetime
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """A topic somebody is stuck on, and the wrong idea that shows most often there, if any."""

    method: str
    topic: str
    stand: Stand
    idea: Idea | None


@dataclass(frozen=True, slots=True)
class Stuck:
    """Somebody who is below the standard on these topics, the weightier first."""

    person_id: str
    name: str
    spots: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Waiting:
    """Somebody who has passed the assessment and whose work is still to be watched."""

    person_id: str
    name: str
    method: str
    services: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Late:
    """A module that is overdue for somebody."""

    module: Module
    learners: tuple[Learner, ...]


@dataclass(frozen=True, slots=True)
class Person:
    """One apprentice: a stand for each method."""

    id: str
    name: str
    stands: Mapping[str, Stand]
    last_at: datetime | None


@dataclass(frozen=True, slots=True)
class Cohort:
    """Everything the instructor's first page leads with. `methods`: those anybody has begun.

    `people`: one page of them by name; `next` opens the one after it, None at the end.
    """

    people: tuple[Person, ...]
    next: str | None
    methods: tuple[str, ...]
    waiting: tuple[Waiting, ...]
    late: tuple[Late, ...]
    stuck: tuple[Stuck, ...]
    ideas: tuple[Idea, ...]
    topics: tuple[tuple[str, str, tuple[str, ...]], ...]
    """(method, topic, names of who is stuck there), most people first."""


def overview(unit: Unit, bank: Bank, group_id: str, now: datetime, after: str = "") -> Cohort:
    """The apprentices of the viewer's organisation, or of one group. Raises NotFound.

    `after`: the person whose page the wanted one follows; one unknown opens the first.
    """
    unit.viewer.must_be("instructor")
    names = apprentices(unit, group_id)
    known = _known(unit, bank, names)
    ideas = wrong_ideas(unit, bank, names)
    stuck = _stuck(names, known, ideas)
    begun = {method for method, topic in _begun(known) if topic == WHOLE}
    here, further = _page(list(names), after)
    return Cohort(
        tuple(_person(person_id, names[person_id], known) for person_id in here),
        here[-1] if further else None,
        tuple(method for method in bank.methods if method in begun),
        tuple(_waiting(unit, bank, names, now)),
        tuple(_late(unit, names, now)),
        tuple(stuck),
        gathered(ideas),
        _topics(stuck),
    )


def waiting(unit: Unit, bank: Bank, now: datetime) -> tuple[Waiting, ...]:
    """Everybody who has passed and waits to be watched."""
    unit.viewer.must_be("instructor")
    return tuple(_waiting(unit, bank, apprentices(unit), now))


def apprentices(unit: Unit, group_id: str = "") -> dict[str, str]:
    """Id -> name of the apprentices of the organisation, or of one group. Raises NotFound."""
    inside = None
    if group_id:
        group = people.group(unit, group_id)
        inside = {row.id for row in people.group_members(unit, group.id)}
    return {
        row.id: row.name
        for row, _ in people.members(unit, "apprentice")
        if inside is None or row.id in inside
    }


def wrong_ideas(unit: Unit, bank: Bank, names: Mapping[str, str]) -> Mapping[str, list[Idea]]:
    """Person -> the wrong ideas that their answers showed, most often first."""
    found: dict[str, list[Idea]] = {person_id: [] for person_id in names}
    for row in practice.wrong_ideas(unit, list(names)):
        wrong = bank.misconceptions.get(row.misconception)
        if wrong is not None and row.method in bank.methods:
            name = (names[row.person_id],)
            idea = Idea(
                wrong.id,
                wrong.belief,
                wrong.remedy,
                row.method,
                row.topic,
                row.times,
                row.last_at,
                name,
            )
            found[row.person_id].append(idea)
    return found


def gathered(ideas: Mapping[str, Sequence[Idea]]) -> tuple[Idea, ...]:
    """The wrong ideas of several people, one entry each; most people first, then most often."""
    together: dict[tuple[str, str], Idea] = {}
    for idea in (one for some in ideas.values() for one in some):
        there = together.get((idea.id, idea.method))
        together[idea.id, idea.method] = _joined(there, idea) if there else idea
    often = [one for one in together.values() if one.times >= OFTEN]
    return tuple(sorted(often, key=lambda one: (-len(one.names), -one.times, one.id)))


def _joined(first: Idea, second: Idea) -> Idea:
    return Idea(
        first.id,
        first.belief,
        first.remedy,
        first.method,
        first.topic,
        first.times + second.times,
        max(first.last_at, second.last_at),
        (*first.names, *second.names),
    )


Known = Mapping[str, Mapping[tuple[str, str], tuple[Stand, datetime | None]]]


def _known(unit: Unit, bank: Bank, names: Mapping[str, str]) -> Known:
    """Person -> (method, topic) -> stand and when it last moved; one query for everybody."""
    standard = abilities_needed(unit, bank)
    found: dict[str, dict[tuple[str, str], tuple[Stand, datetime | None]]] = {
        person_id: {} for person_id in names
    }
    for row in competencies.of_people(unit, list(names)):
        one = known_of(row)
        if one.n and row.method in standard:
            ability, cut = one.ability, standard[row.method]
            picture = drawn(ability.mean, ability.sd, cut)
            stand = Stand(band(ability, cut), picture, one.n, one.right)
            found[row.person_id][row.method, row.topic] = (stand, one.updated_at)
    return found


def _begun(known: Known) -> set[tuple[str, str]]:
    return {key for some in known.values() for key in some}


def _page(ids: Sequence[str], after: str) -> tuple[Sequence[str], bool]:
    """The ids that follow one of them, and whether more come."""
    start = ids.index(after) + 1 if after in ids else 0
    return ids[start : start + PAGE], len(ids) > start + PAGE


def _person(person_id: str, name: str, known: Known) -> Person:
    mine = known[person_id]
    moved = [at for _, at in mine.values() if at is not None]
    stands = {method: stand for (method, topic), (stand, _) in mine.items() if topic == WHOLE}
    return Person(person_id, name, stands, max(moved, default=None))


def _stuck(
    names: Mapping[str, str], known: Known, ideas: Mapping[str, Sequence[Idea]]
) -> list[Stuck]:
    """Who is surely below the standard somewhere; the weightiest topic first, then most topics."""
    found = []
    for person_id, some in known.items():
        spots = [
            Spot(method, topic, stand, _behind(ideas[person_id], method, topic))
            for (method, topic), (stand, _) in some.items()
            if topic != WHOLE and stand.band == "below" and stand.n >= ENOUGH
        ]
        if spots:
            spots.sort(key=lambda spot: (WEIGHT.index(spot.topic), spot.method))
            found.append(Stuck(person_id, names[person_id], tuple(spots)))
    return sorted(
        found, key=lambda one: (WEIGHT.index(one.spots[0].topic), -len(one.spots), one.name)
    )


def _behind(ideas: Sequence[Idea], method: str, topic: str) -> Idea | None:
    return next((one for one in ideas if (one.method, one.topic) == (method, topic)), None)


def _topics(stuck: Sequence[Stuck]) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    by_topic: dict[tuple[str, str], list[str]] = {}
    for one in stuck:
        for spot in one.spots:
            by_topic.setdefault((spot.method, spot.topic), []).append(one.name)
    most = sorted(by_topic.items(), key=lambda pair: -len(pair[1]))
    return tuple((method, topic, tuple(some)) for (method, topic), some in most)


def _waiting(unit: Unit, bank: Bank, names: Mapping[str, str], now: datetime) -> list[Waiting]:
    passed = _passed(bank, standings.of_people(unit, list(names)), now.date())
    found = []
    for person_id, method in sorted(passed, key=lambda pair: (names[pair[0]], pair[1])):
        takes = needed(unit, bank, person_id, method, now)
        services = _to_watch(takes)
        if services and not takes.missing.assessment:
            found.append(Waiting(person_id, names[person_id], method, services))
    return found


def _to_watch(takes: Needed) -> tuple[str, ...]:
    """Services nobody has signed yet; what waits for another observer stands elsewhere."""
    return tuple(
        one.what
        for one in takes.requirements
        if one.what in takes.missing.observed and one.state not in ELSEWHERE
    )


def _passed(bank: Bank, rows: Sequence[Any], day: date) -> set[tuple[str, str]]:
    """(person, method) of who has passed once and has no record, or one that may be renewed."""
    return {
        (row.person_id, row.method)
        for row in rows
        if row.passed_on
        and row.service in OBSERVED_SERVICES
        and row.method in bank.methods
        and (row.word != "competent" or _may_be_renewed(bank, row, day))
    }


def _may_be_renewed(bank: Bank, row: Any, day: date) -> bool:
    window = timedelta(days=bank.methods[row.method].scheme.renew_days)
    return row.day is not None and row.day <= day + window


def _late(unit: Unit, names: Mapping[str, str], now: datetime) -> list[Late]:
    found = []
    for module in list_open(unit, now):
        late = tuple(
            one
            for one in module.learners
            if one.progress.state == "overdue" and one.person_id in names
        )
        if late:
            found.append(Late(module, late))
    return found
