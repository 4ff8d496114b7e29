"""All that an answer at the desk rests on, read for many people at once, and weighed."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.asked import Answer
from trainer.core.records.clearance import Clearance, Question, clear
from trainer.core.records.house_rules import Backing, HouseRules
from trainer.core.records.standing import (
    OBSERVED_SERVICES,
    HeldRecord,
    Progress,
    Standing,
    on_day,
    standing_on,
)
from trainer.store import competencies, records, standings, supervised_work
from trainer.store.unit import Unit
from trainer.use_cases.keep_house_rules import rules_here
from trainer.use_cases.keep_standing import as_held, summed_up
from trainer.use_cases.outside_standing import held_from_elsewhere

Key = tuple[str, str]
"""(person, method)."""


@dataclass(frozen=True, slots=True)
class Case:
    """One person and method: what is known beside records, the summary by service, the records.

    `held` is None where only summaries were read.
    """

    progress: Progress
    rows: Mapping[str, Any]
    held: Sequence[HeldRecord] | None

    def standing(self, service: str, on: date) -> Standing:
        """Where they stand on a day."""
        if self.held is not None:
            return standing_on(on, service, self.held, self.progress)
        row = self.rows.get(service)
        if row is None:
            return Standing("working_towards" if self.progress.started else "not_started")
        return on_day(Standing(row.word, row.day, row.record_id), on)

    def backing(self, service: str, standing: Standing, supervised: int) -> Backing:
        """What stands behind a standing of theirs."""
        row = self.rows.get(service)
        began = row.record_from if row is not None else None
        if self.held is not None:
            began = next((r.valid_from for r in self.held if r.id == standing.record), None)
        return Backing(began, row.second_on if row is not None else None, supervised)


@dataclass(frozen=True)
class Kept:
    """What is kept about some people; rows by (person, method), rules by method.

    `held`: records, of everybody if `whole`; else only where some come from elsewhere, since those
    count in this house alone and stand in no summary. A day before today wants `whole`.
    """

    bank: Bank
    rules: Mapping[str, HouseRules]
    rows: Mapping[Key, Sequence[Any]]
    begun: Collection[Key]
    supervised: Mapping[tuple[str, str, str], int]
    held: Mapping[Key, Sequence[HeldRecord]]
    whole: bool
    cases: dict[Key, Case] = field(default_factory=dict)
    weighed: dict[tuple[Any, ...], Answer] = field(default_factory=dict)

    def weigh(self, person_id: str, asked: Question, method: str) -> tuple[Clearance, Standing]:
        """The answer to a question about one of them, and the standing that it rests on.

        `method` is the id behind the question's words.
        """
        case = self._case(person_id, method)
        standing = case.standing(asked.service, asked.on)
        emergency = self.bank.emergency_removal_of(method) if asked.urgent else None
        done = self.supervised.get((person_id, method, asked.service), 0)
        found = clear(
            asked,
            standing,
            case.progress,
            self.rules[method],
            self.bank.methods[method].scheme.observed,
            case.backing(asked.service, standing, done),
            emergency.ended_days if emergency else 0,
        )
        return found, standing

    def answers(
        self, person_id: str, method: str, on: date
    ) -> Mapping[str, tuple[Answer, Standing]]:
        """Service -> the answer in a word and the standing: for pictures of many people.

        What rests on the same, for whomever, is weighed once.
        """
        return {one: self.answer(person_id, method, one, on) for one in SERVICES}

    def answer(
        self, person_id: str, method: str, service: str, on: date
    ) -> tuple[Answer, Standing]:
        """The same for one service."""
        case, observed = self._case(person_id, method), self.bank.methods[method].scheme.observed
        standing = case.standing(service, on)
        done = self.supervised.get((person_id, method, service), 0)
        backing = case.backing(service, standing, done)
        hands_on = (service in OBSERVED_SERVICES, service in observed)
        rests_on = (standing.word, standing.day, case.progress, backing)
        kind = (method, on, *hands_on, *rests_on)
        if kind not in self.weighed:
            asked = Question("", method, service, on)
            self.weighed[kind] = clear(
                asked, standing, case.progress, self.rules[method], observed, backing
            ).answer
        return self.weighed[kind], standing

    def anything(self, person_id: str, method: str) -> bool:
        """Whether there is a record, a passed assessment or watched work to be weighed."""
        key = (person_id, method)
        return bool(self.rows.get(key)) or bool(self.held.get(key))

    def clearance(self, person_id: str, asked: Question, method: str) -> Clearance:
        """The answer alone."""
        return self.weigh(person_id, asked, method)[0]

    def standing(self, person_id: str, method: str, service: str, on: date) -> Standing:
        """Where one of them stands on a day."""
        return self._case(person_id, method).standing(service, on)

    def _case(self, person_id: str, method: str) -> Case:
        key = (person_id, method)
        case = self.cases.get(key)
        if case is None:
            rows = self.rows.get(key, ())
            progress = replace(summed_up(rows), started=bool(rows) or key in self.begun)
            held = self.held.get(key, () if self.whole else None)
            case = self.cases[key] = Case(progress, {row.service: row for row in rows}, held)
        return case


def read_kept(
    unit: Unit,
    bank: Bank,
    person_ids: Sequence[str],
    grace_days: int,
    with_records: bool = True,
    methods: Collection[str] = (),
) -> Kept:
    """Read what is kept about some people, in at most six statements however many they are.

    `with_records`: records themselves too, so that any day can be asked about; without them the
    summaries answer for today and later. `methods`: only these are asked about; all if none is
    named.
    """
    rules = rules_here(unit, bank, grace_days)
    rows: dict[Key, list[Any]] = defaultdict(list)
    asked = methods or bank.methods
    for row in standings.lines(unit, person_ids, asked):
        rows[row.person_id, row.method].append(row)
    counted = any(one.supervised_clients for one in rules.values())
    return Kept(
        bank,
        rules,
        rows,
        frozenset(competencies.begun_by(unit, person_ids)),
        supervised_work.counts(unit, person_ids) if counted else {},
        _held(unit, person_ids, asked, with_records),
        with_records,
    )


def _held(
    unit: Unit, person_ids: Sequence[str], methods: Collection[str], whole: bool
) -> Mapping[Key, Sequence[HeldRecord]]:
    elsewhere = held_from_elsewhere(unit, person_ids)
    asked = person_ids if whole else sorted({person_id for person_id, _ in elsewhere})
    found: dict[Key, list[HeldRecord]] = defaultdict(list)
    for row in records.lines(unit, asked, methods) if asked else ():
        key = (row.person_id, row.method)
        if whole or key in elsewhere:
            found[key].append(as_held(row))
    for key, records_ in elsewhere.items():
        found[key] += records_
    return found
