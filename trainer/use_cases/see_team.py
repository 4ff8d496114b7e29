"""The team a page at a time: people by methods and services, as wanted."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from trainer.core.exchange.csv_cells import Cell as CsvCell
from trainer.core.exchange.csv_cells import csv_text
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.standing import Standing
from trainer.store import team, working_days
from trainer.store.statements import Found
from trainer.store.team import Wanted
from trainer.store.unit import Unit
from trainer.use_cases.clear_for_service import ASKERS
from trainer.use_cases.weigh_clearance import Cell, Kept, read_kept

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


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: a person, a method and a service."""

    person_id: str
    name: str
    method: str
    service: str
    cell: Cell


NOT_STARTED: Mapping[str, Cell] = {
    one: Cell("not_cleared", Standing("not_started")) for one in SERVICES
}
ONLY_PRACTISED: Mapping[str, Cell] = {
    one: Cell("not_cleared", Standing("working_towards")) for one in SERVICES
}


def page(
    unit: Unit,
    bank: Bank,
    wanted: Wanted,
    after: tuple[str, str] | None,
    grace_days: int,
    count: int = PAGE,
) -> TeamPage:
    """The next people wanted, from summaries alone: history costs nothing."""
    unit.viewer.must_be(*ASKERS)
    found = team.page(unit, wanted, after, count + 1)
    shown = found[:count]
    ids = [one.id for one in shown]
    kept = read_kept(unit, bank, ids, grace_days, with_records=False)
    days = working_days.of_people(unit, ids)
    lines = [
        Line(one.id, one.name, days.get(one.id), _cells(kept, one, wanted.today)) for one in shown
    ]
    last = (shown[-1].name, shown[-1].id) if len(found) > count else None
    return TeamPage(lines, last)


def rows(lines: Sequence[Line], wanted: Wanted) -> Iterator[Row]:
    """The lines of the table that are wanted; what nobody has begun only when asked for."""
    for line in lines:
        for method, services in line.cells.items():
            for service, cell in services.items():
                if _is_wanted(method, service, cell.standing, wanted):
                    yield Row(line.person_id, line.name, method, service, cell)


def as_csv(unit: Unit, bank: Bank, wanted: Wanted, grace_days: int) -> str:
    """Everybody wanted as a CSV file, in which no cell can be taken for a formula."""
    return csv_text(HEADING, _file_rows(unit, bank, wanted, grace_days))


def _file_rows(
    unit: Unit, bank: Bank, wanted: Wanted, grace_days: int
) -> Iterator[Sequence[CsvCell]]:
    after: tuple[str, str] | None = None
    while True:
        found = page(unit, bank, wanted, after, grace_days, AT_ONCE)
        for row in rows(found.lines, wanted):
            standing = row.cell.standing
            day = standing.day.isoformat() if standing.day else ""
            told = (row.method, row.service, standing.word, day, row.cell.answer)
            yield (row.name, *told)
        after = found.next_after
        if after is None:
            return


def _cells(kept: Kept, person: Found, today: date) -> Mapping[str, Mapping[str, Cell]]:
    found: dict[str, Mapping[str, Cell]] = {}
    for method in kept.bank.methods:
        begun = (person.id, method) in kept.begun
        if kept.anything(person.id, method):
            found[method] = kept.cells(person.id, method, today)
        else:
            found[method] = ONLY_PRACTISED if begun else NOT_STARTED
    return found


def _is_wanted(method: str, service: str, standing: Standing, wanted: Wanted) -> bool:
    if wanted.method not in ("", method) or wanted.service not in ("", service):
        return False
    if wanted.ends_by is not None and not _ends(standing, wanted.ends_by):
        return False
    if wanted.word:
        return standing.word == wanted.word
    return standing.word != "not_started"


def _ends(standing: Standing, by: date) -> bool:
    return standing.word == "competent" and standing.day is not None and standing.day <= by
