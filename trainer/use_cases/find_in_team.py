"""Find people of the team by where they stand, with what records from elsewhere give them.

The store looks at summaries. They know nothing of records from elsewhere, which count in one house
alone: whoever has one is weighed here, as the page and the desk weigh them.
"""

from collections.abc import Iterator, Sequence
from datetime import date

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.standing import Standing
from trainer.store import team
from trainer.store.statements import Found
from trainer.store.team import Wanted
from trainer.store.unit import Unit
from trainer.use_cases.weigh_clearance import Kept, read_kept

Place = tuple[str, str] | None
"""Name and id of the last one seen; None at the beginning."""


def find(
    unit: Unit, bank: Bank, wanted: Wanted, after: Place, count: int, grace_days: int
) -> Sequence[Found]:
    """The next people wanted, by name and id: id, name."""
    found: list[Found] = []
    while len(found) < count:
        looked_at = team.page(unit, wanted, after, count)
        found += _fitting(unit, bank, looked_at, wanted, grace_days)
        if len(looked_at) < count:
            break
        after = (looked_at[-1].name, looked_at[-1].id)
    return found[:count]


def is_wanted(method: str, service: str, standing: Standing, wanted: Wanted) -> bool:
    """Whether one standing is such as is wanted; what is not begun only when asked for."""
    if wanted.method not in ("", method) or wanted.service not in ("", service):
        return False
    if wanted.ends_by is not None and not _ends(standing, wanted.ends_by):
        return False
    if wanted.word:
        return standing.word == wanted.word
    return standing.word != "not_started"


def _ends(standing: Standing, by: date) -> bool:
    return standing.word == "competent" and standing.day is not None and standing.day <= by


def _fitting(
    unit: Unit, bank: Bank, rows: Sequence[Found], wanted: Wanted, grace_days: int
) -> Sequence[Found]:
    weighed = [row.id for row in rows if row.elsewhere]
    if not weighed:
        return rows
    kept = read_kept(unit, bank, weighed, grace_days, with_records=False)
    return [row for row in rows if not row.elsewhere or _fits(kept, row.id, wanted)]


def _fits(kept: Kept, person_id: str, wanted: Wanted) -> bool:
    told = list(_told(kept, person_id, wanted))
    return all(told) if wanted.word == "not_started" else any(told)


def _told(kept: Kept, person_id: str, wanted: Wanted) -> Iterator[bool]:
    for method in (wanted.method,) if wanted.method else kept.bank.methods:
        for service in (wanted.service,) if wanted.service else SERVICES:
            standing = kept.standing(person_id, method, service, wanted.today)
            yield is_wanted(method, service, standing, wanted)
