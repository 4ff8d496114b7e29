"""Appeal against a decision, or complain; somebody who took no part answers, by a given day.

An appeal is against a decision about oneself: an assessment, a sign-off, a record, other evidence.
Everything else is a complaint, and anybody of the organisation may make one. What follows from
an appeal that is upheld is done by `remedy_appeal`, with the answer.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from trainer.core.knowledge.bank import Bank
from trainer.core.records.independence import why_not_answer
from trainer.store import appeals, events, people
from trainer.store.appeals import AppealRow
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.reasons import Letters
from trainer.use_cases.refusals import Forbidden, InputProblem
from trainer.use_cases.roles import DECIDERS

DECISIONS = ("assessment", "sign_off", "record", "other_evidence")
ABOUT = (*DECISIONS, "something_else")
INVOLVING = ("observation", "contest", "override", "record", "sitting")
"""Kinds of events whose doer took part in what is decided about a person."""
WORDS = Letters(20, 4000)
MOST = 100


@dataclass(frozen=True, slots=True)
class Said:
    """What somebody sends. `concerns`: ids of whom it names; `method`: '' for none."""

    submission_id: str
    about: str
    method: str
    words: str
    concerns: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Appeal:
    """One as it is shown. `state`: received, taken_up or answered; `refused`: why the viewer may
    not answer it, '' if they may; `free`: how many here may."""

    id: str
    name: str
    about: str
    method: str
    words: str
    named: tuple[str, ...]
    sent_at: datetime
    due_on: date
    state: str
    taken_by: str
    upheld: bool | None
    answer: str
    remedy: str
    answered_by: str
    answered_at: datetime | None
    refused: str
    free: int

    @property
    def is_appeal(self) -> bool:
        """Whether it is against a decision."""
        return self.about in DECISIONS


def send(unit: Unit, bank: Bank, said: Said, days: int, now: datetime) -> str:
    """Send an appeal or a complaint to the viewer's organisation; gives its id. Sent once.

    `days`: how long the organisation has to answer. Raises InputProblem naming the field.
    """
    there = appeals.of_submission(unit, said.submission_id)
    if there is not None:
        return there.id
    if said.about not in ABOUT:
        raise InputProblem("This is not one of the list", "about", "Choose what it is about.")
    if said.method and said.method not in bank.methods:
        raise InputProblem("This method is not known", "method", "Choose one of the list.")
    names = staff(unit)
    row = AppealRow(
        submission_id=said.submission_id,
        person_id=unit.viewer.person_id,
        organisation_id=unit.viewer.organisation_id,
        about=said.about,
        method=said.method,
        words=WORDS.read(
            said.words, "words", "Say what happened, and what you would have expected"
        ),
        concerns=sorted(set(said.concerns) & set(names)),
        sent_at=now,
        due_on=(now + timedelta(days=days)).date(),
    )
    appeals.keep(unit, row)
    _log(unit, "appeal.sent", row, now)
    return row.id


def staff(unit: Unit) -> Mapping[str, str]:
    """Id -> name of whoever decides things in the viewer's organisation, the viewer left out."""
    return {
        person.id: person.name
        for person, row in people.members(unit)
        if set(row.roles) & set(DECIDERS) and person.id != unit.viewer.person_id
    }


def mine(unit: Unit) -> list[Appeal]:
    """What the viewer has sent, newest first."""
    return [_shown(unit, row) for row in appeals.mine(unit, MOST)]


def waiting(unit: Unit) -> list[Appeal]:
    """What waits in the viewer's organisation, the one due first on top."""
    unit.viewer.must_be(*DECIDERS)
    return [_shown(unit, row) for row in appeals.waiting(unit, MOST)]


def answered(unit: Unit) -> list[Appeal]:
    """What was answered in the viewer's organisation, newest first."""
    unit.viewer.must_be(*DECIDERS)
    return [_shown(unit, row) for row in appeals.answered(unit, MOST)]


def count_waiting(unit: Unit) -> int:
    """How many wait."""
    return appeals.count_waiting(unit)


def see(unit: Unit, appeal_id: str) -> Appeal:
    """One, for its sender and for those who decide. Raises NotFound, Forbidden."""
    row = appeals.appeal(unit, appeal_id)
    if row.person_id != unit.viewer.person_id:
        unit.viewer.must_be(*DECIDERS)
    return _shown(unit, row)


def take_up(unit: Unit, appeal_id: str, now: datetime) -> None:
    """Say that one looks into it, so that the sender knows who does. Raises Forbidden."""
    row = _to_answer(unit, appeal_id)
    if row.taken_by == unit.viewer.person_id:
        return
    row.taken_by, row.taken_at = unit.viewer.person_id, now
    _log(unit, "appeal.taken_up", row, now)


def answer(
    unit: Unit, appeal_id: str, upheld: bool, words: str, now: datetime, remedy: str = ""
) -> None:
    """Answer it: whether the sender is right, why, and by what it is put right.

    Raises Forbidden, InputProblem.
    """
    row = _to_answer(unit, appeal_id)
    row.answer = WORDS.read(
        words, "words", "Say what you looked at, what you found, and what follows"
    )
    row.upheld, row.answered_by, row.answered_at = upheld, unit.viewer.person_id, now
    row.remedy = remedy
    _log(unit, "appeal.upheld" if upheld else "appeal.not_upheld", row, now)


def _to_answer(unit: Unit, appeal_id: str) -> AppealRow:
    unit.viewer.must_be(*DECIDERS)
    row = appeals.appeal(unit, appeal_id, to_change=True)
    refused = _refused(unit, row, unit.viewer.person_id)
    if refused:
        raise Forbidden(refused)
    if row.answered_at is not None:
        raise InputProblem("This is answered already", "words", "Read the answer that was given.")
    return row


def _refused(unit: Unit, row: AppealRow, decider: str) -> str:
    return why_not_answer(decider, row.person_id, row.concerns, _involved(unit, row))


def _involved(unit: Unit, row: AppealRow) -> frozenset[str]:
    return events.actors_about(unit, row.person_id, INVOLVING)


def _shown(unit: Unit, row: AppealRow) -> Appeal:
    state = "answered" if row.answered_at else "taken_up" if row.taken_by else "received"
    refused = _refused(unit, row, unit.viewer.person_id)
    return Appeal(
        row.id,
        people.person(unit, row.person_id).name,
        row.about,
        row.method,
        row.words,
        tuple(people.person(unit, one).name for one in row.concerns),
        row.sent_at,
        row.due_on,
        state,
        people.person(unit, row.taken_by).name if row.taken_by else "",
        row.upheld,
        row.answer,
        row.remedy,
        people.person(unit, row.answered_by).name if row.answered_by else "",
        row.answered_at,
        refused,
        _free(unit, row),
    )


def _free(unit: Unit, row: AppealRow) -> int:
    """How many of the organisation that it was sent to may answer it."""
    involved = _involved(unit, row)
    return sum(
        not why_not_answer(one, row.person_id, row.concerns, involved)
        for one in people.with_role(unit, row.organisation_id, DECIDERS)
    )


def _log(unit: Unit, kind: str, row: AppealRow, now: datetime) -> None:
    body = {"appeal": row.id, "about": row.about, "method": row.method}
    body |= {"remedy": row.remedy} if row.remedy else {}
    log(unit, kind, body, now, person_id=row.person_id)
