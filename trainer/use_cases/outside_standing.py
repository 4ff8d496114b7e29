"""What records from elsewhere count for in the viewer's house: the one place that decides it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from trainer.core.records.standing import HeldRecord
from trainer.store import outside_records
from trainer.store.unit import Unit


def held_from_elsewhere(
    unit: Unit, person_ids: Iterable[str]
) -> Mapping[tuple[str, str], Sequence[HeldRecord]]:
    """(person, method) -> records by issuers that the house accepts now, in one statement.

    Each for the services that it names and its issuer is accepted for; those that count for
    nothing are left out.
    """
    found: dict[tuple[str, str], list[HeldRecord]] = defaultdict(list)
    for row in outside_records.counting(unit, person_ids):
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
                    checked_until=row.counts_until,
                )
            )
    return found
