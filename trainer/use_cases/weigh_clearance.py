"""All that an answer at the desk rests on, read for many people at once, and weighed."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import NamedTuple

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.asked import Answer
from trainer.core.records.clearance import (
    Clearance,
    Question,
    answer_to,
    assessment_counts,
    clear,
)
from trainer.core.records.house_rules import Backing, HouseRules
from trainer.core.records.standing import HeldRecord, Progress, Standing, on_day, standing_on
from trainer.store import competencies, records, standings, supervised_work
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.keep_house_rules import rules_here
from trainer.use_cases.keep_standing import as_held
from trainer.use_cases.know_top_ups import TopUps, top_ups_here
from trainer.use_cases.outside_standing import held_from_elsewhere

Key = tuple[str, str]
"""(person, method)."""
NOT_STARTED, NOTHING_BEHIND = Standing("not_started"), Backing()


class Cell(NamedTuple):
    """One method and service of one person: the answer on a day, and the standing behind it."""

    answer: Answer
    standing: Standing


NOT_BEGUN: Mapping[str, Cell] = dict.fromkeys(SERVICES, Cell("not_cleared", NOT_STARTED))
ONLY_PRACTISED: Mapping[str, Cell] = dict.fromkeys(
    SERVICES, Cell("not_cleared", Standing("working_towards"))
)


class Summed(NamedTuple):
    """What the summary says of one service: the standing as kept, and what stands behind it."""

    standing: Standing
    record_from: date | None
    second_on: date | None


@dataclass(frozen=True, slots=True)
class Case:
    """One person and method: what is known beside records, the summary by service, the records.

    `held` is None where only summaries were read. `taken_on`: the day on which the assessment that
    was passed last was begun.
    """

    progress: Progress
    summed: Mapping[str, Summed]
    held: Sequence[HeldRecord] | None
    taken_on: date | None = None

    def standing(self, service: str, on: date) -> Standing:
        """Where they stand on a day."""
        if self.held is not None:
            return standing_on(on, service, self.held, self.progress)
        if service in self.summed:
            return on_day(self.summed[service].standing, on)
        return Standing("working_towards") if self.progress.started else NOT_STARTED

    def backing(self, service: str, standing: Standing, supervised: int) -> Backing:
        """What stands behind a standing of theirs."""
        kept = self.summed.get(service)
        began = kept.record_from if kept else None
        if self.held is not None:
            began = next((r.valid_from for r in self.held if r.id == standing.record), None)
        return Backing(began, kept.second_on if kept else None, supervised)

    def learned_on(self, standing: Standing) -> date | None:
        """The day of the questions behind a standing; a record from elsewhere has its first day."""
        rests_on = next((r for r in self.held or () if r.id == standing.record), None)
        elsewhere = rests_on.valid_from if rests_on and rests_on.from_elsewhere else None
        return max((one for one in (self.taken_on, elsewhere) if one), default=None)


@dataclass(frozen=True)
class Kept:
    """What is kept about some people; rows by (person, method), rules by method.

    `held`: records, of everybody if `whole`; else only where some come from elsewhere, since those
    count in this house alone and stand in no summary. A day before today wants `whole`.
    """

    bank: Bank
    rules: Mapping[str, HouseRules]
    rows: Mapping[Key, Sequence[Found]]
    begun: Collection[Key]
    supervised: Mapping[tuple[str, str, str], int]
    held: Mapping[Key, Sequence[HeldRecord]]
    whole: bool
    top_ups: TopUps
    cases: dict[Key, Case] = field(default_factory=dict)

    def clearance(self, person_id: str, asked: Question, method: str) -> Clearance:
        """The answer to a question about one of them.

        `method` is the id behind the question's words.
        """
        case = self._case(person_id, method)
        standing = case.standing(asked.service, asked.on)
        emergency = self.bank.emergency_removal_of(method) if asked.urgent else None
        return clear(
            asked,
            standing,
            case.progress,
            self.rules[method],
            self.bank.methods[method].scheme.observed,
            self._backing(person_id, method, asked.service, standing),
            emergency.ended_days if emergency else 0,
        )

    def cells(
        self, person_id: str, method: str, on: date, services: Sequence[str] = SERVICES
    ) -> Mapping[str, Cell]:
        """Service -> the answer in a word and the standing: for pictures of many people."""
        if not self.anything(person_id, method):
            return ONLY_PRACTISED if (person_id, method) in self.begun else NOT_BEGUN
        case, rules = self._case(person_id, method), self.rules[method]
        observed = self.bank.methods[method].scheme.observed
        found = {}
        for service in services:
            standing, backing = case.standing(service, on), NOTHING_BEHIND
            if rules.asks_more or (method, service) in self.top_ups.asked:
                backing = self._backing(person_id, method, service, standing)
            told = answer_to(service, on, standing, case.progress, rules, observed, backing)
            found[service] = Cell(told, standing)
        return found

    def cell(self, person_id: str, method: str, service: str, on: date) -> Cell:
        """The same for one service."""
        return self.cells(person_id, method, on, (service,))[service]

    def anything(self, person_id: str, method: str) -> bool:
        """Whether there is a record, a passed assessment or watched work to be weighed."""
        key = (person_id, method)
        return bool(self.rows.get(key)) or bool(self.held.get(key))

    def progress(self, person_id: str, method: str) -> Progress:
        """What is known of one of them beside records."""
        return self._case(person_id, method).progress

    def standing(self, person_id: str, method: str, service: str, on: date) -> Standing:
        """Where one of them stands on a day."""
        return self._case(person_id, method).standing(service, on)

    def asked_anew(self, person_id: str, method: str, service: str, on: date) -> Sequence[str]:
        """The changes on which one of them is asked for a top-up here, finished or not.

        Nobody is asked who has neither a record in force nor a passed assessment that counts.
        """
        case = self._case(person_id, method)
        standing = case.standing(service, on)
        if standing.word != "competent" and not assessment_counts(on, standing, case.progress):
            return ()
        return self.top_ups.changes(method, service, case.learned_on(standing))

    def _backing(self, person_id: str, method: str, service: str, standing: Standing) -> Backing:
        case = self._case(person_id, method)
        done = self.supervised.get((person_id, method, service), 0)
        backing = case.backing(service, standing, done)
        if (method, service) not in self.top_ups.asked:
            return backing
        learned_on = case.learned_on(standing)
        return replace(backing, top_ups=self.top_ups.of(person_id, method, service, learned_on))

    def _case(self, person_id: str, method: str) -> Case:
        key = (person_id, method)
        case = self.cases.get(key)
        if case is None:
            held = self.held.get(key, () if self.whole else None)
            case = self.cases[key] = _case_of(self.rows.get(key, ()), key in self.begun, held)
        return case


def _case_of(rows: Sequence[Found], begun: bool, held: Sequence[HeldRecord] | None) -> Case:
    summed: dict[str, Summed] = {}
    passed_on, taken_on, observed, last = None, None, [], NOT_STARTED
    for _, _, service, word, day, record, passed, seen, began, second, taken in rows:
        if (word, day, record) != (last.word, last.day, last.record):
            last = Standing(word, day, record)
        summed[service] = Summed(last, began, second)
        if passed is not None and (passed_on is None or passed > passed_on):
            passed_on, taken_on = passed, taken or passed
        if seen is not None:
            observed.append(service)
    progress = Progress(bool(rows) or begun, passed_on, frozenset(observed))
    return Case(progress, summed, held, taken_on)


def read_kept(
    unit: Unit,
    bank: Bank,
    person_ids: Sequence[str],
    grace_days: int,
    with_records: bool = True,
    methods: Collection[str] = (),
) -> Kept:
    """Read what is kept about some people, in at most eight statements however many they are.

    `with_records`: records themselves too, so that any day can be asked about; without them the
    summaries answer for today and later. `methods`: only these are asked about; all if none is
    named.
    """
    rules = rules_here(unit, bank, grace_days)
    some = methods if len(methods) < len(bank.methods) else ()
    rows: dict[Key, list[Found]] = defaultdict(list)
    for row in standings.lines(unit, person_ids, some):
        rows[row[0], row[1]].append(row)
    counted = any(one.supervised_clients for one in rules.values())
    return Kept(
        bank,
        rules,
        rows,
        frozenset(competencies.begun_by(unit, person_ids)),
        supervised_work.counts(unit, person_ids) if counted else {},
        _held(unit, person_ids, some, with_records),
        with_records,
        top_ups_here(unit, person_ids),
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
