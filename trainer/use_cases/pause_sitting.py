"""Pause a sitting where that was granted: the clock stands still, and no question is shown."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import datetime

from trainer.core.marking.accommodation import SittingClock
from trainer.store import sittings
from trainer.store.sittings import DONE, SittingRow
from trainer.store.unit import Unit
from trainer.use_cases.accommodate import clock_of
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.sit_assessment import GRACE, save_answer


def pause(
    unit: Unit,
    sitting_id: str,
    position: int,
    sent: Mapping[str, Sequence[str]],
    submission_id: str,
    now: datetime,
) -> None:
    """Pause at an item of the viewer's sitting; what the page held is kept, if it is an answer.

    Pausing while it is paused changes nothing. Raises NotFound, and InputProblem where no pause
    is left or the time is over.
    """
    row = _open(unit, sitting_id)
    if clock_of(row).stands_still(now):
        return
    run_on(row, now)
    if now > row.closes_at + GRACE:
        raise InputProblem("the time is over", "assessment", "What you saved before is safe.")
    if not clock_of(row).pauses_left:
        raise InputProblem("no pause is left", "assessment", "Ask whoever opened it.")
    with suppress(InputProblem):
        save_answer(unit, sitting_id, position, sent, submission_id, now)
    row.paused_at, row.place = now, position
    row.pauses_taken += 1
    unit.session.flush()
    _log(unit, "sitting.paused", row, now)


def go_on(unit: Unit, sitting_id: str, now: datetime) -> None:
    """End a pause: the clock runs on with the time that was left. Twice changes nothing."""
    row = _open(unit, sitting_id)
    if row.paused_at is None:
        return
    run_on(row, now)
    unit.session.flush()
    _log(unit, "sitting.went_on", row, now)


def see(unit: Unit, sitting_id: str) -> tuple[SittingRow, SittingClock]:
    """A sitting of the viewer and its clock, without any question. Raises NotFound."""
    row = sittings.own(unit, sitting_id)
    return row, clock_of(row)


def run_on(row: SittingRow, now: datetime) -> None:
    """Let the clock of a sitting run, from where a pause ended or ends now."""
    row.closes_at, row.paused_at = clock_of(row).end(now), None


def _open(unit: Unit, sitting_id: str) -> SittingRow:
    row = sittings.own(unit, sitting_id, to_change=True)
    if row.state == DONE:
        raise NotFound
    return row


def _log(unit: Unit, kind: str, row: SittingRow, now: datetime) -> None:
    clock = clock_of(row)
    body = {"sitting": row.id, "taken": row.pauses_taken, "seconds_left": clock.seconds_left(now)}
    log(unit, kind, body, now, person_id=row.person_id, organisation_id=row.organisation_id)
