"""All that an answer at the desk rests on, read for many people at once, and weighed."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.records.clearance import Clearance, Question, clear
from trainer.core.records.house_rules import Backing, HouseRules
from trainer.core.records.standing import HeldRecord, Standing, standing_on
from trainer.store import competencies, records, standings, supervised_work
from trainer.store.unit import Unit
from trainer.use_cases.keep_house_rules import rules_here
from trainer.use_cases.keep_standing import as_held, summed_up, words_on
from trainer.use_cases.outside_standing import held_from_elsewhere

Key = tuple[str, str]
"""(person, method)."""


@dataclass(frozen=True)
class Kept:
    """What is kept about some people; rows by (person, method), rules by method.

    `held` is None where only summaries were read: then a day before today is not answered.
    """

    bank: Bank
    rules: Mapping[str, HouseRules]
    rows: Mapping[Key, Sequence[Any]]
    begun: Collection[Key]
    supervised: Mapping[tuple[str, str, str], int]
    held: Mapping[Key, Sequence[HeldRecord]] | None

    def clearance(self, person_id: str, asked: Question, method: str) -> Clearance:
        """The answer to a question about one of them; `method` is the id behind its words."""
        key = (person_id, method)
        rows = self.rows.get(key, ())
        progress = replace(summed_up(rows), started=key in self.begun or bool(rows))
        standing = self.standing(person_id, method, asked.service, asked.on)
        emergency = self.bank.emergency_removal_of(method) if asked.urgent else None
        return clear(
            asked,
            standing,
            progress,
            self.rules[method],
            self.bank.methods[method].scheme.observed,
            self._backing(person_id, method, asked.service, standing),
            emergency.ended_days if emergency else 0,
        )

    def standing(self, person_id: str, method: str, service: str, on: date) -> Standing:
        """Where one of them stands on a day."""
        key = (person_id, method)
        rows = self.rows.get(key, ())
        if self.held is not None:
            progress = replace(summed_up(rows), started=key in self.begun or bool(rows))
            return standing_on(on, service, self.held.get(key, ()), progress)
        found = words_on([row for row in rows if row.service == service], on)
        without = Standing("working_towards" if key in self.begun else "not_started")
        return found.get((person_id, method, service), without)

    def _backing(self, person_id: str, method: str, service: str, standing: Standing) -> Backing:
        row = next(
            (r for r in self.rows.get((person_id, method), ()) if r.service == service), None
        )
        began = row.record_from if row is not None else None
        if self.held is not None:
            held = self.held.get((person_id, method), ())
            began = next((one.valid_from for one in held if one.id == standing.record), None)
        return Backing(
            began,
            row.second_on if row is not None else None,
            self.supervised.get((person_id, method, service), 0),
        )


def read_kept(
    unit: Unit,
    bank: Bank,
    person_ids: Sequence[str],
    grace_days: int,
    with_records: bool = True,
) -> Kept:
    """Read what is kept about some people, in at most five statements however many they are.

    `with_records`: records themselves too, so that any day can be asked about; without them the
    summaries answer for today and later.
    """
    rules = rules_here(unit, bank, grace_days)
    rows: dict[Key, list[Any]] = defaultdict(list)
    for row in standings.lines(unit, person_ids):
        rows[row.person_id, row.method].append(row)
    counted = any(one.supervised_clients for one in rules.values())
    return Kept(
        bank,
        rules,
        rows,
        frozenset(competencies.begun_by(unit, person_ids)),
        supervised_work.counts(unit, person_ids) if counted else {},
        _held(unit, person_ids) if with_records else None,
    )


def _held(unit: Unit, person_ids: Sequence[str]) -> Mapping[Key, Sequence[HeldRecord]]:
    found: dict[Key, list[HeldRecord]] = defaultdict(list)
    for row in records.lines(unit, person_ids):
        found[row.person_id, row.method].append(as_held(row))
    for key, records_ in held_from_elsewhere(unit, person_ids).items():
        found[key] += records_
    return found
