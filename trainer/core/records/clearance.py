"""Clearance: may this person do this service with this method on this day?

The answer speaks of the stylist, never of the client in the chair. The rule, in one place:

- competent: cleared, unless a house rule asks for more (`house_rules`): then supervised only.
- suspended, withdrawn, or marked on an outside issuer's list: not cleared, whatever else is known.
- an outside record whose status was not looked at lately: not cleared until it is.
- expired: once the assessment is passed again, as without a record; else supervised only for the
  grace days after the last day, then not cleared. The grace is a house rule, not a finding about
  skill.
- no record, assessment passed: consult and aftercare cleared, because the assessment covers them
  and no hair is attached; what the method's scheme observes supervised only, until all of it is.
- a service that the method's record does not take in: not cleared.
- otherwise not cleared.

A record clears only the method and the services that it names. A removal that cannot wait has a
rule of its own (`emergency_removal`).
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from trainer.core.records.asked import REMINDER, Answer, Clearance, Question, Reason, day_words
from trainer.core.records.emergency_removal import clear_in_emergency
from trainer.core.records.house_rules import Backing, HouseRules, held_back
from trainer.core.records.standing import OBSERVED_SERVICES, STOPS, Progress, Standing

__all__ = ["REMINDER", "Answer", "Clearance", "Question", "Reason", "clear"]
UNKNOWN = Backing()


def clear(
    question: Question,
    standing: Standing,
    progress: Progress,
    rules: HouseRules,
    observed: Sequence[str] = OBSERVED_SERVICES,
    backing: Backing = UNKNOWN,
    ended_days: int = 0,
) -> Clearance:
    """Answer for one person, method, service and day.

    Parameters
    ----------
    question : What is asked.
    standing : The standing on that day for that service.
    progress : What is known beside records.
    rules : What the house asks beyond a record.
    observed : The services that a record for the method takes in.
    backing : What stands behind the standing.
    ended_days : For a removal that cannot wait: days after a record's end in which it still counts
        under supervision; 0 or more.

    Returns
    -------
    The answer with its reasons, what would change each, and the reminder. With stricter rules it is
    never looser.

    Raises
    ------
    ValueError : If something other than a removal is asked as urgent.
    """
    found = _by_record(question, standing, progress, rules.grace_days, observed)
    if question.urgent:
        return clear_in_emergency(question, found, standing, ended_days)
    if found.answer != "cleared":
        return found
    held = held_back(question, rules, backing)
    return Clearance("supervised_only", (*held, *found.reasons)) if held else found


def _by_record(
    question: Question,
    standing: Standing,
    progress: Progress,
    grace_days: int,
    observed: Sequence[str],
) -> Clearance:
    if question.service in OBSERVED_SERVICES and question.service not in observed:
        return _outside(question)
    if standing.word == "competent":
        return _competent(question, standing)
    if standing.word in STOPS or standing.word == "unchecked":
        return _one("not_cleared", _stop(question, standing))
    if standing.word == "expired":
        return _expired(question, standing, progress, grace_days, observed)
    return _without_record(question, standing, progress, observed)


def _outside(question: Question) -> Clearance:
    return _one(
        "not_cleared",
        Reason(
            "service_outside_record",
            f"A record for {question.method} does not take in this service: {question.service}.",
            "A scheme of the method that has it watched and signed off.",
        ),
    )


def _competent(question: Question, standing: Standing) -> Clearance:
    return _one(
        "cleared",
        Reason(
            "record_in_force",
            f"{question.person} holds a completion record for {question.method}, in force until "
            f"{day_words(standing.day)}.",
            "The record ending, or the issuer suspending or withdrawing it.",
        ),
    )


def _stop(question: Question, standing: Standing) -> Reason:
    on = day_words(standing.day)
    if standing.word == "marked":
        said = (
            f"The record from elsewhere for {question.method} is no longer valid: its issuer has "
        )
        return Reason(
            "record_marked",
            f"{said}marked it (seen on {on}).",
            "The issuer's own page says why. A new record from there is looked at anew.",
        )
    if standing.word == "unchecked":
        known = f"was known until {on}" if standing.day else "was never looked at"
        return Reason(
            "status_not_checked",
            f"Status not checked: whether the record from elsewhere for {question.method} still "
            f"holds {known}.",
            "Somebody checks its status again, under Records from elsewhere.",
        )
    said = f"The record for {question.method} was {standing.word} on {on}."
    if standing.word == "suspended":
        change = "A new record, once the issuer lifts the suspension."
        return Reason("record_suspended", said, change)
    change = "A new assessment and observed work, then a new record."
    return Reason("record_withdrawn", said, change)


def _expired(
    question: Question,
    standing: Standing,
    progress: Progress,
    grace_days: int,
    observed: Sequence[str],
) -> Clearance:
    ended = standing.day or question.on
    grace = ended + timedelta(days=grace_days)
    over = Reason(
        "record_ended",
        f"The record for {question.method} ended on {day_words(ended)}.",
        "Passing the assessment again and having the work observed brings a new record.",
    )
    if progress.passed_on is not None and ended < progress.passed_on <= question.on:
        return _without_record(question, standing, progress, observed)
    if question.on <= grace:
        said = f"{over.said} The house rule allows supervised work until {day_words(grace)}."
        in_grace = replace(over, ground="record_ended_in_grace", said=said)
        return _one("supervised_only", in_grace)
    return _one("not_cleared", over)


def _without_record(
    question: Question, standing: Standing, progress: Progress, observed: Sequence[str]
) -> Clearance:
    if progress.passed_on is not None and progress.passed_on <= question.on:
        return _passed(question, progress.passed_on, progress, observed)
    if standing.word == "working_towards":
        return _one(
            "not_cleared",
            Reason(
                "assessment_not_passed",
                f"{question.person} is working towards {question.method}: no assessment passed "
                "yet.",
                "Passing the assessment allows supervised work.",
            ),
        )
    return _one(
        "not_cleared",
        Reason(
            "not_started",
            f"{question.person} has not started {question.method}.",
            "Training, a passed assessment and observed work.",
        ),
    )


def _passed(
    question: Question, passed_on: date, progress: Progress, observed: Sequence[str]
) -> Clearance:
    if question.service not in OBSERVED_SERVICES:
        return _one(
            "cleared",
            Reason(
                "assessment_covers_it",
                f"The assessment for {question.method} was passed on {day_words(passed_on)}, and "
                f"{question.service} is part of it.",
                "A new assessment that is not passed.",
            ),
        )
    return _one(
        "supervised_only",
        Reason(
            "work_not_signed_off",
            f"The assessment for {question.method} is passed, but the work at the chair is not all "
            "signed off yet.",
            f"Still to be observed: {_missing(progress, observed)}.",
        ),
    )


def _one(answer: Answer, reason: Reason) -> Clearance:
    return Clearance(answer, (reason,))


def _missing(progress: Progress, observed: Sequence[str]) -> str:
    missing = [name for name in observed if name not in progress.observed]
    return ", ".join(missing) if missing else "nothing; the record is about to be issued"
