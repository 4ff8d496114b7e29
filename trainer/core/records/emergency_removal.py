"""Removal that cannot wait: its own rule, looser in one point and stricter in none that protects.

Whoever a record clears may remove, whatever the house asks besides: waiting would do harm. Whoever
held a record that has just ended may remove with somebody competent beside them. A stop by the
issuer stays a stop, and nobody who is not trained forces anything.
"""

from datetime import date, timedelta

from trainer.core.records.asked import Clearance, Question, Reason, day_words
from trainer.core.records.standing import Standing

REMOVE = "remove"


def clear_in_emergency(
    question: Question, usual: Clearance, standing: Standing, ended_days: int
) -> Clearance:
    """Answer for a removal that cannot wait.

    Parameters
    ----------
    question : What is asked; its service is remove.
    usual : The answer that records alone give, without house rules.
    standing : The standing it rests on.
    ended_days : Days after a record's end in which its holder may still remove, supervised.

    Returns
    -------
    The answer: never stricter than `usual`, and looser only for a record that has just ended.

    Raises
    ------
    ValueError : If the service is another, or `ended_days` is negative.
    """
    if question.service != REMOVE or ended_days < 0:
        raise ValueError(f"{question.service=}, {ended_days=}")
    if usual.answer == "cleared":
        return Clearance("cleared", (*usual.reasons, _at_once()))
    if usual.answer == "supervised_only":
        return Clearance("supervised_only", (*usual.reasons, _beside()))
    if standing.word == "expired" and standing.day is not None:
        last = standing.day + timedelta(days=ended_days)
        if question.on <= last:
            return Clearance("supervised_only", (_just_ended(standing.day, last), _beside()))
    return Clearance("not_cleared", (*usual.reasons, _never(question)))


def _at_once() -> Reason:
    return Reason(
        "emergency",
        "This removal cannot wait: house rules beyond the record are set aside for it.",
        "Signs of an emergency come before any removal.",
    )


def _beside() -> Reason:
    return Reason(
        "emergency",
        "It cannot wait, so it may be begun with somebody competent in this removal at their side.",
        "Somebody cleared for it takes over.",
    )


def _just_ended(ended: date, last: date) -> Reason:
    return Reason(
        "record_ended_in_grace",
        f"The record ended on {day_words(ended)}. For a removal that cannot wait it still counts "
        f"until {day_words(last)}, under supervision.",
        "Passing the assessment again and having the work observed brings a new record.",
    )


def _never(question: Question) -> Reason:
    return Reason(
        "emergency",
        f"Nobody who is not trained forces it out: {question.person} does not begin.",
        "Somebody cleared for it takes over; if nobody can, a doctor or the emergency services.",
    )
