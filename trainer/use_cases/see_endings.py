"""Records that end soon or have just ended, and what to do: for learner, instructor and salon."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from trainer.core.knowledge.bank import Bank
from trainer.store import endings, people
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.certify import Needed, needed
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.roles import ASKERS

PAGE = 50


@dataclass(frozen=True, slots=True)
class Ending:
    """One person's record for a method. `days` to its last day, below 0 once it has ended."""

    person_id: str
    name: str
    on: date
    days: int
    needed: Needed


@dataclass(frozen=True, slots=True)
class Page:
    """Some of them, first end first, and from behind which the next page goes on; '' at the end."""

    endings: Sequence[Ending]
    next_after: str


def mine(unit: Unit, bank: Bank, window: int, now: datetime) -> tuple[Ending, ...]:
    """The viewer's own records that end within `window` days, or ended that long ago at most."""
    person_id = unit.viewer.person_id
    rows = endings.of_person(unit, _span(bank, window, now), person_id)
    name = people.person(unit, person_id).name
    return tuple(_ending(unit, bank, row, name, now) for row in rows)


def of_place(unit: Unit, bank: Bank, window: int, now: datetime, after: str = "") -> Page:
    """The same for everybody who works or trains in the viewer's organisation, a page at a time.

    Raises Forbidden; NotFound for a place that cannot be.
    """
    unit.viewer.must_be(*ASKERS)
    rows = endings.of_place(unit, _span(bank, window, now), _place(after), PAGE + 1)
    shown = rows[:PAGE]
    last = shown[-1] if len(rows) > PAGE else None
    behind = f"{last.valid_until.isoformat()}~{last.person_id}~{last.method}" if last else ""
    return Page([_ending(unit, bank, row, row.name, now) for row in shown], behind)


def count_of_place(unit: Unit, bank: Bank, window: int, now: datetime) -> endings.Counted:
    """How many ended there, how many end soon, and when the first of these; by whole days."""
    unit.viewer.must_be(*ASKERS)
    return endings.count(unit, _span(bank, window, now), _morning(now.date()))


def _ending(unit: Unit, bank: Bank, row: Found, name: str, now: datetime) -> Ending:
    on = row.valid_until.date()
    what = needed(unit, bank, row.person_id, row.method, now)
    return Ending(row.person_id, name, on, (on - now.date()).days, what)


def _span(bank: Bank, window: int, now: datetime) -> endings.Span:
    reach = timedelta(days=window)
    first, last = _morning(now.date() - reach), now.date() + reach
    return endings.Span(bank.methods, first, _morning(last + timedelta(days=1)))


def _morning(day: date) -> datetime:
    return datetime.combine(day, time.min, UTC)


def _place(after: str) -> tuple[datetime, str, str] | None:
    if not after:
        return None
    try:
        said, person_id, method = after.split("~")
        at = datetime.fromisoformat(said)
    except ValueError:
        raise NotFound from None
    if at.tzinfo is None:
        raise NotFound
    return at, person_id, method
