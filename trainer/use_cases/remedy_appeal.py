"""Uphold an appeal and put right what it is about, in one step: each remedy is done where such
things are always done, with the answer as its reason.

Whoever answers took no part until now; doing the remedy first would make them somebody who did.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from trainer.core.knowledge.bank import Bank
from trainer.core.records.independence import why_not
from trainer.store import appeals, contests, observations, records, sittings
from trainer.store.appeals import AppealRow
from trainer.store.sittings import NO_WAIT, SET_ASIDE, SittingRow
from trainer.store.unit import Unit
from trainer.use_cases import (
    appeal,
    contest_question,
    set_aside_sitting,
    watch_again,
    withdraw,
)
from trainer.use_cases.certify import Issuing
from trainer.use_cases.examiners import examiners_of
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import DECIDERS
from trainer.use_cases.sit_assessment import again_from

NONE, QUESTION, REINSTATE = "none", "question", "reinstate"
AGAIN, UNSIGN = "watch_again", "unsign"
"""A sheet is set aside: one that said 'not yet', and one that said 'competent'."""
OF_A_SITTING = {SET_ASIDE: set_aside_sitting.set_aside, NO_WAIT: set_aside_sitting.end_wait}
LATEST = 3
"""So many sittings back a remedy reaches."""
LEAD = "An appeal was upheld. "


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way of putting it right. `on`: when that was sat, stopped or watched.

    `subject`: the id of the sitting, the contest, the record or the sheet. `position`: of a
    question; `service`: of a sheet.
    """

    kind: str
    method: str = ""
    on: datetime | None = None
    subject: str = ""
    position: int = 0
    service: str = ""

    @property
    def id(self) -> str:
        """What a form sends."""
        return f"{self.kind}:{self.subject}" if self.subject else self.kind


def remedies(unit: Unit, appeal_id: str, retake_days: int, now: datetime) -> tuple[Remedy, ...]:
    """What the viewer may do about an appeal, the answer alone last. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*DECIDERS)
    row = appeals.appeal(unit, appeal_id)
    found: list[Remedy] = []
    if row.about == "assessment":
        found += _about_sittings(unit, row, retake_days, now)
    if row.about == "sign_off":
        found += _about_sheets(unit, row)
    if row.about == "record":
        found += _about_records(unit, row, now)
    return (*found, Remedy(NONE))


def uphold(
    unit: Unit,
    bank: Bank,
    appeal_id: str,
    words: str,
    wanted: str,
    retake_days: int,
    issuing: Issuing,
    now: datetime,
) -> Remedy:
    """Answer that the sender is right, and do what follows; all of it or nothing.

    `wanted`: the id of one of `remedies`. Raises NotFound, Forbidden, InputProblem.
    """
    offered = {one.id: one for one in remedies(unit, appeal_id, retake_days, now)}
    if wanted not in offered:
        raise InputProblem("Nothing is chosen, or it has changed", "remedy", "Choose again.")
    remedy = offered[wanted]
    appeal.answer(unit, appeal_id, True, words, now, remedy.kind)
    reason = f"{LEAD}{words.strip()}"
    if remedy.kind == REINSTATE:
        withdraw.reinstate(unit, remedy.subject, withdraw.REASON.cut(reason), issuing, now)
    elif remedy.kind == QUESTION:
        said, one = contest_question.WORDS.cut(reason), contest_question.ONE
        contest_question.answer(unit, bank, remedy.subject, True, said, one, issuing, now)
    elif remedy.kind in (AGAIN, UNSIGN):
        watch_again.set_aside(unit, remedy.subject, watch_again.REASON.cut(reason), now)
    elif remedy.kind in OF_A_SITTING:
        said = set_aside_sitting.REASON.cut(reason)
        OF_A_SITTING[remedy.kind](unit, remedy.subject, said, now)
    return remedy


def _about_sittings(
    unit: Unit, row: AppealRow, retake_days: int, now: datetime
) -> Iterator[Remedy]:
    for sitting in _sat(unit, row):
        at = sitting.finished_at
        examiners = examiners_of(unit, row.person_id, sitting.method)
        may = not why_not(unit.viewer.person_id, row.person_id, examiners)
        if may and records.resting_on(unit, f"sitting:{sitting.id}") is None:
            yield Remedy(SET_ASIDE, sitting.method, at, sitting.id)
        last = sittings.latest(unit, row.person_id, sitting.method)
        if may and last is sitting and again_from(sitting, retake_days, now):
            yield Remedy(NO_WAIT, sitting.method, at, sitting.id)
        if unit.viewer.is_a("instructor"):
            for one in contests.of_sitting(unit, sitting.id):
                if one.answered_at is None:
                    yield Remedy(QUESTION, sitting.method, at, one.id, one.position)


def _sat(unit: Unit, row: AppealRow) -> list[SittingRow]:
    """The latest sittings here that were done when the appeal was sent, and still count."""
    return [
        one
        for one in sittings.decided(unit, [row.person_id])
        if row.method in ("", one.method)
        and one.finished_at is not None
        and one.finished_at <= row.sent_at
        and SET_ASIDE not in one.outcome
    ][:LATEST]


def _about_sheets(unit: Unit, row: AppealRow) -> Iterator[Remedy]:
    """The latest sheets of each service as they stood when the appeal was sent."""
    methods = [row.method] if row.method else observations.methods_of(unit, row.person_id)
    for method in methods:
        for one in watch_again.may_set_aside(unit, row.person_id, method):
            sheet, kind = one.first, UNSIGN if one.met else AGAIN
            if one.signed_at <= row.sent_at:
                yield Remedy(kind, method, sheet.observed_at, sheet.id, service=sheet.service)


def _about_records(unit: Unit, row: AppealRow, now: datetime) -> Iterator[Remedy]:
    for one in records.held(unit, row.person_id, row.method):
        here = one.organisation_id == unit.viewer.organisation_id
        if here and one.state == "suspended" and one.valid_until > now:
            examiners = examiners_of(unit, row.person_id, one.method)
            refused = why_not(unit.viewer.person_id, row.person_id, examiners)
            if not (refused or withdraw.has_lost_work(unit, one)):
                yield Remedy(REINSTATE, one.method, one.state_since, one.id)
