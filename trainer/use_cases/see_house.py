"""The whole house: how many can do what, what ends when, what nobody can do on some day, and who
is nearest to closing each gap."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.asked import Question
from trainer.core.records.standing import OBSERVED_SERVICES
from trainer.store import team, team_summaries, working_days
from trainer.store.unit import Unit
from trainer.use_cases.clear_for_service import ASKERS, Answered, Ask, answer_many
from trainer.use_cases.keep_working_days import EVERY_DAY, days_of
from trainer.use_cases.weigh_clearance import Kept, read_kept

SMALL = 60
"""Up to so many people everything is counted anew each time."""
LASTS = timedelta(minutes=10)
"""So long the count of a larger house is shown again."""
NEAREST = 3


@dataclass(frozen=True)
class Gap:
    """What nobody can do: on the days named (0 Monday .. 6 Sunday), or at all where none is.

    `fitted`: somebody here can fit the method, so that it will have to come out again. `nearest`:
    who could close it first.
    """

    method: str
    service: str
    days: tuple[int, ...]
    fitted: bool
    nearest: tuple[str, ...]


@dataclass(frozen=True)
class House:
    """Counted at `made_at`: people, method -> service -> how many are cleared today, the months
    ('2026-11') in which so many records end, gaps, and of how many no days are set.
    """

    people: int
    can: Mapping[str, Mapping[str, int]]
    ends: Mapping[str, int]
    gaps: tuple[Gap, ...]
    without_days: int
    made_at: datetime


def see_house(unit: Unit, bank: Bank, grace_days: int, now: datetime) -> tuple[House, bool]:
    """The whole house, and whether it was counted anew and is worth keeping (`keep_house`)."""
    unit.viewer.must_be(*ASKERS)
    kept = team_summaries.kept(unit)
    if kept and kept.for_day == now.date() and now - kept.made_at < LASTS:
        return _read(kept.said, kept.made_at), False
    house = _count(unit, bank, grace_days, now)
    return house, house.people > SMALL


def keep_house(unit: Unit, house: House) -> None:
    """Keep a count for a while."""
    unit.viewer.must_be(*ASKERS)
    gaps = [[g.method, g.service, list(g.days), g.fitted, list(g.nearest)] for g in house.gaps]
    said = {"people": house.people, "can": house.can, "ends": house.ends, "gaps": gaps}
    said |= {"without_days": house.without_days}
    team_summaries.keep(unit, house.made_at.date(), house.made_at, said)


def closing(
    unit: Unit, bank: Bank, gaps: Sequence[Gap], grace_days: int, on: date
) -> Mapping[tuple[str, str], Sequence[Answered]]:
    """(method, service) of each gap -> those nearest to closing it, with what they lack."""
    here = team.names(unit, {one for gap in gaps for one in gap.nearest})
    asks = [
        Ask(one, gap.method, gap.service, on) for gap in gaps for one in gap.nearest if one in here
    ]
    found: dict[tuple[str, str], list[Answered]] = defaultdict(list)
    for one in answer_many(unit, bank, asks, grace_days):
        found[one.ask.method, one.ask.service].append(one)
    return found


def _read(said: Mapping[str, Any], made_at: datetime) -> House:
    gaps = tuple(Gap(m, s, tuple(days), f, tuple(near)) for m, s, days, f, near in said["gaps"])
    return House(said["people"], said["can"], said["ends"], gaps, said["without_days"], made_at)


def _count(unit: Unit, bank: Bank, grace_days: int, now: datetime) -> House:
    ids = [one.id for one in team.staff(unit)]
    kept = read_kept(unit, bank, ids, grace_days, with_records=False)
    days = working_days.of_people(unit, ids)
    tally = _Tally(kept, now.date())
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
        now,
    )


class _Tally:
    """Counts as it goes through people; only what they have begun is looked at."""

    def __init__(self, kept: Kept, today: date) -> None:
        self.kept, self.today = kept, today
        self.can: dict[str, Counter[str]] = defaultdict(Counter)
        self.covered: Counter[tuple[str, str]] = Counter()
        self.ends: Counter[str] = Counter()
        self.near: dict[tuple[str, str], list[tuple[tuple[int, int, int], str]]] = defaultdict(list)

    def take(self, person_id: str, days: int) -> None:
        """Count one person, who works on these days."""
        for method in self.kept.bank.methods:
            if self.kept.rows.get((person_id, method)):
                self._take(person_id, method, days)

    def _take(self, person_id: str, method: str, days: int) -> None:
        for service in SERVICES:
            asked = Question("", method, service, self.today)
            answer = self.kept.clearance(person_id, asked, method).answer
            if answer == "cleared":
                self.can[method][service] += 1
                self.covered[method, service] |= days
            elif service in OBSERVED_SERVICES:
                nearness = self._nearness(person_id, method, answer == "supervised_only")
                self.near[method, service].append((nearness, person_id))
        self._take_end(person_id, method)

    def _take_end(self, person_id: str, method: str) -> None:
        found = [
            self.kept.standing(person_id, method, service, self.today)
            for service in self.kept.bank.methods[method].scheme.observed
        ]
        days = [one.day for one in found if one.word == "competent" and one.day is not None]
        if days:
            self.ends[f"{min(days):%Y-%m}"] += 1

    def _nearness(self, person_id: str, method: str, supervised: bool) -> tuple[int, int, int]:
        rows = self.kept.rows[person_id, method]
        passed = any(row.passed_on for row in rows)
        return -supervised, -passed, -sum(row.observed_on is not None for row in rows)

    def gaps(self, opened: int) -> tuple[Gap, ...]:
        """What nobody can do, with hands on hair; the house is open on these days."""
        found = []
        for method, kind in self.kept.bank.methods.items():
            for service in kind.scheme.observed:
                lacking = opened & ~self.covered[method, service]
                if self.can[method][service] and not lacking:
                    continue
                days = days_of(lacking) if self.can[method][service] else ()
                near = sorted(self.near[method, service])[:NEAREST]
                fitted = self.can[method]["fit"] > 0
                found.append(Gap(method, service, days, fitted, tuple(one for _, one in near)))
        return tuple(sorted(found, key=lambda gap: (not gap.fitted, gap.service != "remove")))
