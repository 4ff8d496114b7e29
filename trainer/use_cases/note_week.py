"""Remember of a checked week how many bookings were not cleared, so that somebody is told of them.

Numbers and days only: what a booking says, and for whom it is, is let go with the page.
"""

from collections.abc import Sequence
from datetime import date, datetime

from trainer.core.bookings.booking import Week
from trainer.store import week_findings
from trainer.store.unit import Unit
from trainer.store.week_findings import WeekFindingRow


def is_noted(unit: Unit, week: Week, days: Sequence[date]) -> bool:
    """Whether a check's outcome stands there already, so that nothing need be written."""
    row = week_findings.of_week(unit, week.monday)
    if row is None or not days:
        return row is None and not days
    return tuple(row) == (len(days), min(days), max(days))


def note(unit: Unit, week: Week, days: Sequence[date], now: datetime) -> None:
    """Keep a check's outcome in the place of the one before. `days`: of what is not cleared.

    Weeks that are over are forgotten.
    """
    week_findings.drop(unit, week.monday, now.date())
    if days:
        row = WeekFindingRow(
            organisation_id=unit.viewer.organisation_id,
            monday=week.monday,
            not_cleared=len(days),
            first_on=min(days),
            last_on=max(days),
            checked_at=now,
        )
        week_findings.keep(unit, row)


def ahead(unit: Unit, on: date) -> Sequence[tuple[int, date]]:
    """(how many, the Monday) of each week that still has such bookings on this day or later.

    How many of a week are over by now is not known, so it is told as a whole.
    """
    return [(row.not_cleared, row.monday) for row in week_findings.ahead(unit, on)]
