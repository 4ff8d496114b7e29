"""What records from elsewhere count for in the viewer's house: the one place that decides it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from trainer.core.records.elsewhere import known_until
from trainer.core.records.standing import HeldRecord
from trainer.store import outside_records
from trainer.store.unit import Unit
from trainer.use_cases.keep_house_rules import status_days_here


def held_from_elsewhere(
    unit: Unit, person_ids: Iterable[str]
) -> Mapping[tuple[str, str], Sequence[HeldRecord]]:
    """(person, method) -> records by issuers that the house accepts now, in two statements.

    Each for the services that it names and its issuer is accepted for; those that count for
    nothing are left out.
    """
    found: dict[tuple[str, str], list[HeldRecord]] = defaultdict(list)
    rows = outside_records.counting(unit, person_ids)
    if not rows:  # as in most houses
        return {}
    looks = Looks(unit)
    for row in rows:
        services = frozenset(row.services) & frozenset(row.accepted_services)
        if row.method in row.accepted_methods and services and row.valid_until is not None:
            found[row.person_id, row.method].append(
                HeldRecord(
                    row.id,
                    services,
                    row.valid_from,
                    row.valid_until,
                    row.state,
                    row.state_since.date(),
                    from_elsewhere=True,
                    checked_until=looks.enough_until(row),
                )
            )
    return found


class Looks:
    """How long looks at the status of records from elsewhere are enough in the viewer's house.

    The site says how long, the house rules may say less. Rows are those of `store.outside_records`.
    """

    def __init__(self, unit: Unit) -> None:
        """Read the house rules."""
        self._days = status_days_here(unit)

    def enough_until(self, row: Any) -> date | None:
        """Until when the last one is; None where there was none."""
        looked = row.checked_at.date() if row.checked_at else None
        return known_until(looked, row.counts_until, self._days(row.method))

    def last(self, row: Any, site: int) -> int:
        """For how many days the next one will be; `site`: for how many it is at most."""
        own = self._days(row.method)
        return site if own is None else min(own, site)
