"""Set a sitting aside after a review by a person: it counts for nothing, and no waiting time runs.

Or let its result stand, and end the wait for the next alone.

For what went wrong around it (an alarm, a fault, the wrong person), never for the score. Whoever
decides neither sat it nor examined that person (ISO/IEC 17024:2012, 9.4). A pass is never made by
hand: the way to one is another sitting.
"""

from dataclasses import dataclass
from datetime import datetime

from trainer.core.records.independence import why_not
from trainer.store import people, records, sittings
from trainer.store.sittings import DONE, NO_WAIT, SET_ASIDE, SittingRow
from trainer.store.unit import Unit
from trainer.use_cases.evidence import gather
from trainer.use_cases.examiners import examiners_of
from trainer.use_cases.keep_log import log
from trainer.use_cases.keep_standing import refresh
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.roles import DECIDERS

REASON = Letters(20, 1000)


@dataclass(frozen=True, slots=True)
class Seen:
    """A sitting that is done, whose it is, and why the viewer may not decide ('' if they may)."""

    sitting: SittingRow
    name: str
    opened_by: str
    reason: str
    refused: str


def see(unit: Unit, sitting_id: str) -> Seen:
    """One sitting of the viewer's organisation. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*DECIDERS)
    row = sittings.in_place(unit, sitting_id)
    if row.state != DONE:
        raise NotFound
    examiners = examiners_of(unit, row.person_id, row.method)
    return Seen(
        row,
        people.person(unit, row.person_id).name,
        people.person(unit, row.opened_by).name if row.opened_by else "",
        row.outcome.get(SET_ASIDE, ""),
        why_not(unit.viewer.person_id, row.person_id, examiners),
    )


def set_aside(unit: Unit, sitting_id: str, reason: str, now: datetime) -> None:
    """Set it aside, for good. Raises NotFound, Forbidden, InputProblem naming the field."""
    row, said = _to_change(unit, sitting_id, reason)
    if records.resting_on(unit, f"sitting:{row.id}"):
        raise InputProblem("A record rests on it", "reason", "Decide about the record first.")
    row.counts, row.outcome = False, row.outcome | {SET_ASIDE: said}
    _tell(unit, "sitting.set_aside", row, said, now)
    refresh(unit, gather(unit, row.person_id, row.method), row.person_id, row.method, now)


def end_wait(unit: Unit, sitting_id: str, reason: str, now: datetime) -> None:
    """Let them sit again at once; the result stands. Raises as `set_aside` does."""
    row, said = _to_change(unit, sitting_id, reason)
    row.outcome = row.outcome | {NO_WAIT: said}
    _tell(unit, "sitting.wait_ended", row, said, now)


def _to_change(unit: Unit, sitting_id: str, reason: str) -> tuple[SittingRow, str]:
    """The sitting and the reason, where the viewer may decide and has said enough."""
    seen = see(unit, sitting_id)
    if seen.refused:
        raise Forbidden(seen.refused)
    if seen.reason:
        raise InputProblem("It is set aside already", "reason", "Nothing more is to be done.")
    return seen.sitting, REASON.read(reason, "reason", "Say what happened")


def _tell(unit: Unit, kind: str, row: SittingRow, said: str, now: datetime) -> None:
    unit.session.flush()
    body = {"sitting": row.id, "method": row.method, "reason": said}
    log(unit, kind, body, now, person_id=row.person_id)
