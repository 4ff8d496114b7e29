"""What has changed for an organisation's people since a place in the log, for other programs.

The chained log gives the order. Its numbers have no gaps and become visible one after the other
(one appends at a time, until the commit), so a place in it can be gone on from: nothing is left
out, nothing comes twice, whatever was committed meanwhile.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.store import events
from trainer.store.events import EventBodyRow
from trainer.store.unit import Unit
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.roles import ASKERS

WINDOW = 2000
"""How many links of the log are looked through at once: an answer costs the same in a long log."""
BEGINNING = "0" * 16
CURSOR = re.compile(r"([0-9]{1,12})-([0-9a-f]{16})")
TOLD = {
    "record.issued": "record.issued",
    "record.suspended": "record.suspended",
    "record.withdrawn": "record.withdrawn",
    "record.reinstated": "record.reinstated",
    "record.replaced": "record.replaced",
    "sitting.decided": "assessment.passed",
    "observation.signed": "work.signed_off",
    "override.agreed": "evidence.accepted",
    "outside_record.kept": "record.kept_from_elsewhere",
    "outside_record.state": "record.from_elsewhere_changed",
    "outside_record.removed": "record.from_elsewhere_removed",
    "person.renamed": "person.renamed",
    "member.roles": "member.changed",
    "member.left": "member.left",
    "person.erased": "person.erased",
}
AT_HOME = (
    *("member.roles", "member.left", "person.erased"),
    *("outside_record.kept", "outside_record.state", "outside_record.removed"),
)
"""Of no concern to the other places where somebody belongs."""
ONLY_IF = {"sitting.decided": "passed", "observation.signed": "met"}
"""What was not passed or not met changes no standing, and is for those who teach."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change. `method` and `record` are None where it is about neither."""

    kind: str
    at: datetime
    person_id: str
    method: str | None
    record_id: str | None


@dataclass(frozen=True, slots=True)
class Changes:
    """Some changes, oldest first; `next` is where to go on; `more`: there is more already."""

    changes: Sequence[Change]
    next: str
    more: bool


def follow(unit: Unit, after: str, count: int) -> Changes:
    """The changes behind a cursor ('' for all). Raises Forbidden, NotFound for an unknown place.

    A place is unknown where the log does not hold that link (any more): after a restored copy.
    """
    unit.viewer.must_be(*ASKERS)
    begins, last = _place(unit, after), events.end(unit)
    until = min(last, begins + WINDOW)
    found: list[Change] = []
    for kind, row in events.about_our_people(unit, begins, until):
        if len(found) == count:
            until = row.number - 1
            break
        if _concerns(unit, kind, row):
            found.append(_change(kind, row))
    return Changes(found, _cursor(unit, until), until < last)


def _concerns(unit: Unit, kind: str, row: EventBodyRow) -> bool:
    if kind not in TOLD or not row.person_id:
        return False
    if kind in AT_HOME and row.organisation_id != unit.viewer.organisation_id:
        return False
    return kind not in ONLY_IF or bool(row.body.get(ONLY_IF[kind]))


def _change(kind: str, row: EventBodyRow) -> Change:
    return Change(TOLD[kind], row.at, row.person_id, row.body.get("method"), row.body.get("record"))


def _place(unit: Unit, cursor: str) -> int:
    if not cursor:
        return 0
    read = CURSOR.fullmatch(cursor)
    if read is None:
        raise NotFound
    number = int(read[1])
    if _mark(unit, number) != read[2]:
        raise NotFound
    return number


def _cursor(unit: Unit, number: int) -> str:
    return f"{number}-{_mark(unit, number)}"


def _mark(unit: Unit, number: int) -> str | None:
    """What tells a link from another of the same number, in a log that was cut and grew again."""
    if number == 0:
        return BEGINNING
    known = events.hash_of(unit, number)
    return known[: len(BEGINNING)] if known else None
