"""The whole house: how many can do what, what ends when, what nobody can do on some day, and who
is nearest to closing each gap."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import OBSERVED_SERVICES
from trainer.store import team, team_summaries, working_days
from trainer.store.unit import Unit
from trainer.use_cases.clear_for_service import Answered, Ask, answer_many
from trainer.use_cases.keep_working_days import EVERY_DAY, days_of
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.weigh_clearance import Cell, Kept, read_kept

SMALL = 60
"""Up to so many people everything is counted anew each time."""
LASTS = timedelta(minutes=10)
"""So long the count of a larger house is shown again."""
NEAREST = 3
Far = tuple[bool, bool, bool, int]


@dataclass(frozen=True)
class Gap:
    """Services that nobody can do: on the days named (0 Monday .. 6 Sunday), or at all without one.

    `fitted`: somebody here can fit the method, so that it will have to come out again. `nearest`:
    who could close it first.
    """

    method: str
    services: tuple[str, ...]
    days: tuple[int, ...]
    fitted: bool
    nearest: tuple[str, ...]


@dataclass(frozen=True)
class House:
    """Counted at `made_at` for a day: people, method -> service -> how many are cleared on it, the
    months ('2026-11') in which so many records end, gaps, and of how many no days are set.
    """

    people: int
    can: Mapping[str, Mapping[str, int]]
    ends: Mapping[str, int]
    gaps: tuple[Gap, ...]
    without_days: int
    for_day: date
    made_at: datetime


def see_house(
    unit: Unit, bank: Bank, grace_days: int, now: datetime, today: date
) -> tuple[House, bool]:
    """The whole house, and whether it was counted anew and is worth keeping (`keep_house`).

    `today`: the house's own day.
    """
    unit.viewer.must_be(*ASKERS)
    kept = team_summaries.kept(unit)
    if kept and kept.for_day == today and now - kept.made_at < LASTS:
        return _read(kept.said, today, kept.made_at), False
    house = _count(unit, bank, grace_days, now, today)
    return house, house.people > SMALL


def keep_house(unit: Unit, house: House) -> None:
    """Keep a count for a while."""
    unit.viewer.must_be(*ASKERS)
    gaps = [
        [g.method, list(g.services), list(g.days), g.fitted, list(g.nearest)] for g in house.gaps
    ]
    said = {"people": house.people, "can": house.can, "ends": house.ends, "gaps": gaps}
    said |= {"without_days": house.without_days}
    team_summaries.keep(unit, house.for_day, house.made_at, said)


def closing(
    unit: Unit, bank: Bank, gaps: Sequence[Gap], grace_days: int, on: date
) -> Mapping[Gap, Sequence[Answered]]:
    """Gap -> those nearest to closing it, with what they lack for its first service."""
    here = team.names(unit, {one for gap in gaps for one in gap.nearest})
    meant = [(gap, one) for gap in gaps for one in gap.nearest if one in here]
    asks = [Ask(one, gap.method, gap.services[0], on) for gap, one in meant]
    found: dict[Gap, list[Answered]] = defaultdict(list)
    answered = answer_many(unit, bank, asks, grace_days)
    for (gap, _), one in zip(meant, answered, strict=True):
        found[gap].append(one)
    return found


def _read(said: Mapping[str, Any], day: date, made_at: datetime) -> House:
    gaps = tuple(
        Gap(method, tuple(services), tuple(days), fitted, tuple(near))
        for method, services, days, fitted, near in said["gaps"]
    )
    told = said["people"], said["can"], said["ends"], gaps, said["without_days"]
    return House(*told, day, made_at)


def _count(unit: Unit, bank: Bank, grace_days: int, now: datetime, today: date) -> House:
    ids = [one.id for one in team.staff(unit)]
    kept = read_kept(unit, bank, ids, grace_days, with_records=False)
    days = working_days.of_people(unit, ids)
    tally = _Tally(kept, today)
    for person_id in ids:
        tally.take(person_id, days.get(person_id, EVERY_DAY))
    opened = 0
    for number in days.values():
        opened |= number
    return House(
        len(ids),
        {method: dict(tally.can[method]) for method in bank.methods},
        dict(sorted(tally.ends.items())),
        tally.gaps(opened),
        len(ids) - len(days),
        today,
        now,
    )


class _Tally:
    """Counts as it goes through people; only what they have begun is looked at."""

    def __init__(self, kept: Kept, today: date) -> None:
        self.kept, self.today = kept, today
        self.can: dict[str, Counter[str]] = defaultdict(Counter)
        self.covered: Counter[tuple[str, str]] = Counter()
        self.ends: Counter[str] = Counter()
        self.near: dict[tuple[str, str], list[tuple[Far, str]]] = defaultdict(list)

    def take(self, person_id: str, days: int) -> None:
        """Count one person, who works on these days."""
        for method in self.kept.bank.methods:
            if self.kept.anything(person_id, method):
                self._take(person_id, method, days)

    def _take(self, person_id: str, method: str, days: int) -> None:
        told = self.kept.cells(person_id, method, self.today)
        for service, cell in told.items():
            if cell.answer == "cleared":
                self.can[method][service] += 1
                self.covered[method, service] |= days
            elif service in OBSERVED_SERVICES:
                far = self._far(person_id, method, cell)
                self.near[method, service].append((far, person_id))
        observed = self.kept.bank.methods[method].scheme.observed
        found = [told[service].standing for service in observed]
        ends = [one.day for one in found if one.word == "competent" and one.day is not None]
        if ends:
            self.ends[f"{min(ends):%Y-%m}"] += 1

    def _far(self, person_id: str, method: str, cell: Cell) -> Far:
        """How far from being cleared: a look at a status is the shortest way."""
        known = self.kept.progress(person_id, method)
        to_look = cell.standing.word == "unchecked"
        supervised = cell.answer == "supervised_only"
        return not to_look, not supervised, known.passed_on is None, -len(known.observed)

    def gaps(self, opened: int) -> tuple[Gap, ...]:
        """What nobody can do, with hands on hair; the house is open on these days."""
        found = [gap for method in self.kept.bank.methods for gap in self._gaps(method, opened)]
        return tuple(sorted(found, key=lambda gap: (not gap.fitted, "remove" not in gap.services)))

    def _gaps(self, method: str, opened: int) -> Iterator[Gap]:
        lacking: dict[tuple[int, ...], list[str]] = defaultdict(list)
        for service in self.kept.bank.methods[method].scheme.observed:
            anybody = self.can[method][service] > 0
            without = opened & ~self.covered[method, service]
            if without or not anybody:
                lacking[days_of(without) if anybody else ()].append(service)
        for days, services in lacking.items():
            services.sort(key=lambda one: one != "remove")
            near = sorted({one for service in services for one in self.near[method, service]})
            ids = list(dict.fromkeys(person_id for _, person_id in near))[:NEAREST]
            yield Gap(method, tuple(services), days, self.can[method]["fit"] > 0, tuple(ids))
