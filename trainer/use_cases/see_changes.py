"""What has changed in the safety facts, and whom of this house it concerns."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.change import Change, Taught
from trainer.core.scenarios.family import families
from trainer.store import fact_changes, sittings, top_ups
from trainer.store.fact_changes import FactChangeRow
from trainer.store.unit import Unit
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.tell_apart import tell_apart

PAGE = 20
HOLDERS = 50
BY_MOUTH = timedelta(days=28)
Place = tuple[str, str] | None
"""Name and id of the last one seen; None at the beginning."""


@dataclass(frozen=True, slots=True)
class Listed:
    """A change, how many here hold records from before it, and how many of them have finished.

    `open`: people have to be asked anew. `overtaken`: the fact has changed once more since.
    """

    id: str
    change: Change
    at: datetime
    open: bool
    overtaken: bool
    holders: int
    finished: int
    due_on: date | None


@dataclass(frozen=True, slots=True)
class Holder:
    """Somebody with records from before a change: (method, id, last day).

    `right`: answers of `length`, which is 0 where they have not begun.
    """

    person_id: str
    name: str
    records: Sequence[tuple[str, str | None, date]]
    right: int
    length: int
    done_on: date | None


@dataclass(frozen=True, slots=True)
class OpenSitting:
    """A sitting that is not finished and holds questions on the old words: so many."""

    person_id: str
    name: str
    method: str
    opened_at: datetime
    questions: int


@dataclass(frozen=True)
class Seen:
    """One change. `leaning`: (method, topic, how many kinds of question rest on it).

    `top_up`: what this house asks, or None. `may_ask`: there are questions that a top-up may ask.
    """

    listed: Listed
    old_version: str
    new_version: str
    methods: Sequence[str]
    service: str
    leaning: Sequence[tuple[str, str, int]]
    sittings: Sequence[OpenSitting]
    holders: Sequence[Holder]
    next_after: Place
    top_up: top_ups.TopUpRow | None
    may_ask: bool


def page(unit: Unit, before: str, now: datetime) -> tuple[Sequence[Listed], str]:
    """Changes, newest first, and from behind which the next page goes on ('' at the end).

    Raises Forbidden, NotFound.
    """
    unit.viewer.must_be(*ASKERS)
    place = fact_changes.change(unit, before) if before else None
    rows = fact_changes.page(unit, place, PAGE + 1)
    due, counted = {row.change_id: row.due_on for row in top_ups.here(unit)}, _Counted(unit, now)
    listed = [_listed(row, due.get(row.id), counted) for row in rows[:PAGE]]
    return listed, rows[PAGE - 1].id if len(rows) > PAGE else ""


def one(unit: Unit, bank: Bank, change_id: str, after: Place, now: datetime) -> Seen:
    """One change, and a page of those with records from before it. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    row = fact_changes.change(unit, change_id)
    top_up = top_ups.offered(unit, change_id)
    found = top_ups.holders(unit, row, now.date(), after, HOLDERS + 1) if row.open else ()
    shown = found[:HOLDERS]
    return Seen(
        _listed(row, top_up.due_on if top_up else None, _Counted(unit, now)),
        row.old_version,
        row.new_version,
        row.methods,
        row.service,
        _leaning(bank, row),
        _open_sittings(unit, row),
        _holders(unit, row, shown, now),
        (shown[-1].name, shown[-1].id) if len(found) > HOLDERS else None,
        top_up,
        row.open and bool(row.askable),
    )


def concerning(unit: Unit, now: datetime) -> tuple[int, int]:
    """How many changes this house has asked nothing about though people hold records from before.

    Beside it, of one alone, how many people hold them; else 0. Whoever has finished the top-up for
    another house is not waited for. What no question asks about can only be told by mouth, and is
    here for a while.
    """
    today, offered = now.date(), [row.change_id for row in top_ups.here(unit)]
    found = [
        row
        for row in fact_changes.not_offered(unit, offered)
        if (row.askable or row.at > now - BY_MOUTH) and top_ups.anybody_left(unit, row, today)
    ]
    held = top_ups.count_holders(unit, found[0], today) if len(found) == 1 else 0
    return len(found), held


def every(unit: Unit) -> Sequence[Mapping[str, Any]]:
    """Every change as plain rows, oldest first: for the command line."""
    return [
        {
            "id": row.id,
            "fact": row.fact,
            "kind": row.kind,
            "before": row.before,
            "after": row.after,
            "old_version": row.old_version,
            "new_version": row.new_version,
            "at": row.at.isoformat(),
            "asks_again": row.asks_again,
            "overtaken_at": row.overtaken_at.isoformat() if row.overtaken_at else None,
            "methods": row.methods,
            "families": sorted(row.families),
        }
        for row in fact_changes.in_order(unit)
    ]


class _Counted:
    """How many here hold records from before; asked once for changes of one day on one subject."""

    def __init__(self, unit: Unit, now: datetime) -> None:
        self._unit, self._today = unit, now.date()
        self._known: dict[tuple[Any, ...], int] = {}

    def holders(self, row: FactChangeRow) -> int:
        """How many hold a record that leans on the old words."""
        about = (*row.methods, row.service, row.at.date())
        if about not in self._known:
            self._known[about] = top_ups.count_holders(self._unit, row, self._today)
        return self._known[about]

    def finished(self, row: FactChangeRow) -> int:
        """How many of these have finished the top-up."""
        return top_ups.count_holders(self._unit, row, self._today, finished=True)


def _listed(row: FactChangeRow, due_on: date | None, counted: _Counted) -> Listed:
    before = Taught(**row.before) if row.before else None
    after = Taught(**row.after) if row.after else None
    change = Change(row.kind, before, after)  # type: ignore[arg-type]
    holders = counted.holders(row) if row.open else 0
    finished = counted.finished(row) if holders and due_on else 0
    overtaken = row.overtaken_at is not None
    return Listed(row.id, change, row.at, row.open, overtaken, holders, finished, due_on)


def _leaning(bank: Bank, row: FactChangeRow) -> Sequence[tuple[str, str, int]]:
    """(method, topic, how many kinds of question rest on it), in the bank's order."""
    counts = Counter((one.method, one.topic) for one in families(bank) if one.id in row.families)
    ids = list(bank.methods)
    in_order = sorted(counts.items(), key=lambda one: ids.index(one[0][0]))
    return [(method, topic, count) for (method, topic), count in in_order]


def _open_sittings(unit: Unit, row: FactChangeRow) -> Sequence[OpenSitting]:
    """Those of this house, begun before the change, with questions on the old words."""
    found = sittings.open_since_before(unit, row.at)
    counts = {
        one.id: sum(row.fact in kept["facts"] for kept in sittings.kept_of(unit, one.id))
        for one in found
        if one.bank_version != row.new_version
    }
    return [
        OpenSitting(one.person_id, one.name, one.method, one.opened_at, counts[one.id])
        for one in found
        if counts.get(one.id)
    ]


def _holders(
    unit: Unit, row: FactChangeRow, shown: Sequence[Any], now: datetime
) -> Sequence[Holder]:
    names = dict(tell_apart(unit, [(one.id, one.name) for one in shown]))
    records: dict[str, list[tuple[str, str | None, date]]] = {one.id: [] for one in shown}
    for held in top_ups.records_of(unit, row, now.date(), list(names)) if names else ():
        records[held.person_id].append((held.method, held.record_id, held.day))
    return [
        Holder(one.id, names[one.id], records[one.id], one.right or 0, one.length or 0, one.done_on)
        for one in shown
    ]
