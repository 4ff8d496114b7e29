"""Clearance: may this person do this service with this method on this day?

The answer speaks of the stylist, never of the client in the chair. The rule, in one place:

- competent: cleared.
- suspended, withdrawn: not cleared, whatever else is known.
- expired: once the assessment is passed again, as without a record; else supervised only for
  `grace_days` after the last day, then not cleared. The grace is a house rule (a setting), not a
  finding about skill.
- no record, assessment passed: consult and aftercare cleared, because the assessment covers them
  and no hair is attached; what the method's scheme observes supervised only, until all of it is.
- a service that the method's record does not take in: not cleared.
- otherwise not cleared.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from trainer.core.records.standing import OBSERVED_SERVICES, Progress, Standing

Answer = Literal["cleared", "supervised_only", "not_cleared"]
REMINDER = (
    "This speaks of the stylist, not of this client. Consultation and patch test still come first. "
    "Follow the maker's instructions, local law and licensing; anything wrong with a scalp goes to "
    "a licensed health professional."
)


@dataclass(frozen=True)
class Question:
    """What is asked: the words for person and method, the service, the day."""

    person: str
    method: str
    service: str
    on: date


@dataclass(frozen=True)
class Clearance:
    """The answer, the reason, and what would change it; `reminder` always goes with it."""

    answer: Answer
    reason: str
    would_change_it: str
    reminder: str = REMINDER


def clear(
    question: Question,
    standing: Standing,
    progress: Progress,
    grace_days: int,
    observed: Sequence[str] = OBSERVED_SERVICES,
) -> Clearance:
    """Answer for one person, method, service and day.

    Parameters
    ----------
    question : What is asked.
    standing : The standing on that day for that service.
    progress : What is known beside records.
    grace_days : Days after a record's end when supervised work is still allowed; 0 or more.
    observed : The services that a record for the method takes in.

    Returns
    -------
    The answer with its reason, what would change it and the reminder.

    Raises
    ------
    ValueError : If `grace_days` is negative.
    """
    if grace_days < 0:
        raise ValueError(f"{grace_days=}")
    if question.service in OBSERVED_SERVICES and question.service not in observed:
        return _outside(question)
    if standing.word == "competent":
        return _competent(question, standing)
    if standing.word in ("suspended", "withdrawn"):
        return _stopped(question, standing)
    if standing.word == "expired":
        return _expired(question, standing, progress, grace_days, observed)
    return _without_record(question, standing, progress, observed)


def _outside(question: Question) -> Clearance:
    return Clearance(
        "not_cleared",
        f"A record for {question.method} does not take in this service: {question.service}.",
        "A scheme of the method that has it watched and signed off.",
    )


def _competent(question: Question, standing: Standing) -> Clearance:
    return Clearance(
        "cleared",
        f"{question.person} holds a completion record for {question.method}, in force until "
        f"{_day(standing.day)}.",
        "The record ending, or the issuer suspending or withdrawing it.",
    )


def _stopped(question: Question, standing: Standing) -> Clearance:
    change = (
        "A new record, once the issuer lifts the suspension."
        if standing.word == "suspended"
        else "A new assessment and observed work, then a new record."
    )
    return Clearance(
        "not_cleared",
        f"The record for {question.method} was {standing.word} on {_day(standing.day)}.",
        change,
    )


def _expired(
    question: Question,
    standing: Standing,
    progress: Progress,
    grace_days: int,
    observed: Sequence[str],
) -> Clearance:
    ended = standing.day or question.on
    grace = ended + timedelta(days=grace_days)
    change = "Passing the assessment again and having the work observed brings a new record."
    said = f"The record for {question.method} ended on {_day(ended)}."
    if progress.passed_on is not None and ended < progress.passed_on <= question.on:
        return _without_record(question, standing, progress, observed)
    if question.on <= grace:
        extra = f" The house rule allows supervised work until {_day(grace)}."
        return Clearance("supervised_only", said + extra, change)
    return Clearance("not_cleared", said, change)


def _without_record(
    question: Question, standing: Standing, progress: Progress, observed: Sequence[str]
) -> Clearance:
    passed = progress.passed_on is not None and progress.passed_on <= question.on
    if passed and question.service not in OBSERVED_SERVICES:
        return Clearance(
            "cleared",
            f"The assessment for {question.method} was passed on {_day(progress.passed_on)}, and "
            f"{question.service} is part of it.",
            "A new assessment that is not passed.",
        )
    if passed:
        return Clearance(
            "supervised_only",
            f"The assessment for {question.method} is passed, but the work at the chair is not all "
            "signed off yet.",
            f"Still to be observed: {_missing(progress, observed)}.",
        )
    if standing.word == "working_towards":
        return Clearance(
            "not_cleared",
            f"{question.person} is working towards {question.method}: no assessment passed yet.",
            "Passing the assessment allows supervised work.",
        )
    return Clearance(
        "not_cleared",
        f"{question.person} has not started {question.method}.",
        "Training, a passed assessment and observed work.",
    )


def _missing(progress: Progress, observed: Sequence[str]) -> str:
    missing = [name for name in observed if name not in progress.observed]
    return ", ".join(missing) if missing else "nothing; the record is about to be issued"


def _day(day: date | None) -> str:
    return f"{day.day} {day.strftime('%B %Y')}" if day else "an unknown day"
