"""The team a page at a time: people by methods and services, as wanted."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from trainer.core.exchange.csv_cells import Cell as CsvCell
from trainer.core.exchange.csv_cells import csv_text
from trainer.core.knowledge.bank import Bank
from trainer.store import working_days
from trainer.store.team import Wanted
from trainer.store.unit import Unit
from trainer.use_cases.find_in_team import find, is_wanted
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.tell_apart import tell_apart
from trainer.use_cases.weigh_clearance import Cell, read_kept

__all__ = ["PAGE", "Cell", "Line", "Row", "TeamPage", "Wanted", "as_csv", "page", "rows"]
PAGE = 20
AT_ONCE = 500
"""So many people are read at once for a file."""
HEADING = ("name", "method", "service", "standing", "until_or_since", "clearance_today")


@dataclass(frozen=True)
class Line:
    """One person. `days`: the days they work, a bit a day, or None where nobody has said."""

    person_id: str
    name: str
    days: int | None
    cells: Mapping[str, Mapping[str, Cell]]


@dataclass(frozen=True)
class TeamPage:
    """Some people in order, and after whom the next page begins (None at the end)."""

    lines: Sequence[Line]
    next_after: tuple[str, str] | None


class Row(NamedTuple):
    """One line of the table: a person, a method and a service."""

    person_id: str
    name: str
    method: str
    service: str
    cell: Cell


def page(
    unit: Unit,
    bank: Bank,
    wanted: Wanted,
    after: tuple[str, str] | None,
    grace_days: int,
    count: int = PAGE,
    every_method: bool = True,
) -> TeamPage:
    """The next people wanted, from summaries alone: history costs nothing.

    `every_method`: not only the one that is wanted, so that whoever is found is seen whole.
    """
    unit.viewer.must_be(*ASKERS)
    found = find(unit, bank, wanted, after, count + 1, grace_days)
    shown = found[:count]
    names = dict(tell_apart(unit, [(one.id, one.name) for one in shown]))
    ids = list(names)
    methods = list(bank.methods) if every_method or not wanted.method else [wanted.method]
    kept = read_kept(unit, bank, ids, grace_days, with_records=False, methods=methods)
    days = working_days.of_people(unit, ids)
    lines = [
        Line(
            one.id,
            names[one.id],
            days.get(one.id),
            {method: kept.cells(one.id, method, wanted.today) for method in methods},
        )
        for one in shown
    ]
    last = (shown[-1].name, shown[-1].id) if len(found) > count else None
    return TeamPage(lines, last)


def rows(lines: Sequence[Line], wanted: Wanted) -> Iterator[Row]:
    """The lines of the table that are wanted; what nobody has begun only when asked for."""
    for line in lines:
        for method, services in line.cells.items():
            for service, cell in services.items():
                if is_wanted(method, service, cell.standing, wanted):
                    yield Row(line.person_id, line.name, method, service, cell)


def as_csv(unit: Unit, bank: Bank, wanted: Wanted, grace_days: int) -> str:
    """Everybody wanted as a CSV file, in which no cell can be taken for a formula."""
    return csv_text(HEADING, _file_rows(unit, bank, wanted, grace_days))


def _file_rows(
    unit: Unit, bank: Bank, wanted: Wanted, grace_days: int
) -> Iterator[Sequence[CsvCell]]:
    after: tuple[str, str] | None = None
    while True:
        found = page(unit, bank, wanted, after, grace_days, AT_ONCE, every_method=False)
        for row in rows(found.lines, wanted):
            standing = row.cell.standing
            day = standing.day.isoformat() if standing.day else ""
            told = (row.method, row.service, standing.word, day, row.cell.answer)
            yield (row.name, *told)
        after = found.next_after
        if after is None:
            return
