"""Count clients done under supervision, where the house asks for the first ones to be."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import OBSERVED_SERVICES
from trainer.store import people, supervised_work, team_summaries
from trainer.store.unit import Unit
from trainer.use_cases.clear_for_service import Answered, Ask, answer_many
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS

EASTERNMOST = timedelta(hours=14)  # where the day begins first: the salon may lie there
LATE_DAYS = 7
"""So long after the work it may still be noted."""


@dataclass(frozen=True)
class Counted:
    """One client done under supervision: beside whom, and when."""

    id: str
    supervisor: str
    on: date


def note(
    unit: Unit,
    bank: Bank,
    ask: Ask,
    supervisor_id: str,
    submission_id: str,
    grace_days: int,
    now: datetime,
) -> bool:
    """Count one client of the person asked about, done beside somebody who is cleared for it.

    The same `submission_id` twice counts once: then False. Nothing about the client is kept.

    Raises
    ------
    NotFound, Forbidden : As `answer_many` does.
    InputProblem : If there is nothing to count, or the supervisor is not cleared for it that day.
    """
    unit.viewer.must_be(*ASKERS)
    _check(ask, supervisor_id, submission_id, now)
    beside = Ask(supervisor_id, ask.method, ask.service, ask.on)
    own, other = answer_many(unit, bank, [ask, beside], grace_days)
    _fits(own, other)
    is_new = supervised_work.keep_once(
        unit,
        {
            "id": submission_id,
            "submission_id": submission_id,
            "organisation_id": unit.viewer.organisation_id,
            "person_id": ask.person_id,
            "supervisor_id": supervisor_id,
            "method": ask.method,
            "service": ask.service,
            "on_day": ask.on,
            "noted_by": unit.viewer.person_id,
            "noted_at": now,
        },
    )
    if is_new:
        said = {"method": ask.method, "service": ask.service, "supervisor": supervisor_id}
        log(unit, "work.supervised", said, now, person_id=ask.person_id)
        team_summaries.forget(unit)
    return is_new


def counted(unit: Unit, ask: Ask) -> Sequence[Counted]:
    """What counts so far for the person, method and service asked about, newest first."""
    unit.viewer.must_be(*ASKERS)
    people.member(unit, ask.person_id)
    rows = supervised_work.of_person(unit, ask.person_id, ask.method, ask.service)
    return [
        Counted(row.id, people.person(unit, row.supervisor_id).name, row.on_day) for row in rows
    ]


def take_back(unit: Unit, work_id: str, now: datetime) -> Ask:
    """Take back what was noted by mistake; it no longer counts. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*ASKERS)
    row = supervised_work.one(unit, work_id)
    if row.taken_back_at is None:
        row.taken_back_at = now
        said = {"method": row.method, "service": row.service, "noted": row.id}
        log(unit, "work.supervised_taken_back", said, now, person_id=row.person_id)
        team_summaries.forget(unit)
    return Ask(row.person_id, row.method, row.service, row.on_day)


def _fits(own: Answered, other: Answered) -> None:
    if own.clearance.answer != "supervised_only":
        raise InputProblem(
            f"{own.person} does not work under supervision for this",
            "person",
            "Only work that is cleared under supervision is counted.",
        )
    if other.clearance.answer != "cleared":
        raise InputProblem(
            f"{other.person} is not cleared for this themselves",
            "supervisor",
            "Name somebody who is.",
        )


def _check(ask: Ask, supervisor_id: str, submission_id: str, now: datetime) -> None:
    if ask.service not in OBSERVED_SERVICES:
        raise InputProblem("Nothing is done on hair", "service", "Choose fit, maintain or remove.")
    if not submission_id:
        raise InputProblem("The page sent no id", "submission_id", "Load the page again.")
    if supervisor_id == ask.person_id:
        raise InputProblem("Nobody supervises themselves", "supervisor", "Name somebody else.")
    latest = (now + EASTERNMOST).date()
    if not now.date() - timedelta(days=LATE_DAYS) <= ask.on <= latest:
        raise InputProblem(
            "That day cannot be noted", "on", f"Note work of today or the last {LATE_DAYS} days."
        )
