"""Grounds in words: what each says about somebody, and what would change it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from trainer.core.records.asked import Ground, Question, Reason, day_words
from trainer.core.records.standing import Progress, Standing

ENDED = "The record for {its.method} ended on {its.day}."
RENEW = "Passing the assessment again and having the work observed brings a new record."
SAID: Mapping[Ground, tuple[str, str]] = {
    "record_in_force": (
        "{its.person} holds a completion record for {its.method}, in force until {its.day}.",
        "The record ending, or the issuer suspending or withdrawing it.",
    ),
    "record_ended": (ENDED, RENEW),
    "record_ended_in_grace": (
        f"{ENDED} The house rule allows supervised work until {{its.last_of_grace}}.",
        RENEW,
    ),
    "record_suspended": (
        "The record for {its.method} was suspended on {its.day}.",
        "A new record, once the issuer lifts the suspension.",
    ),
    "record_withdrawn": (
        "The record for {its.method} was withdrawn on {its.day}.",
        "A new assessment and observed work, then a new record.",
    ),
    "record_marked": (
        "The record from elsewhere for {its.method} is no longer valid: its issuer has marked it "
        "(seen on {its.day}).",
        "The issuer's own page says why. A new record from there is looked at anew.",
    ),
    "status_not_checked": (
        "Status not checked: whether the record from elsewhere for {its.method} still holds "
        "{its.was_known}.",
        "Somebody checks its status again, under Records from elsewhere.",
    ),
    "service_outside_record": (
        "A record for {its.method} does not take in this service: {its.service}.",
        "A scheme of the method that has it watched and signed off.",
    ),
    "assessment_covers_it": (
        "The assessment for {its.method} was passed on {its.passed}, and {its.service} is part of "
        "it.",
        "A new assessment that is not passed.",
    ),
    "work_not_signed_off": (
        "The assessment for {its.method} is passed, but the work at the chair is not all signed "
        "off yet.",
        "Still to be observed: {its.missing}.",
    ),
    "assessment_not_passed": (
        "{its.person} is working towards {its.method}: no assessment passed yet.",
        "Passing the assessment allows supervised work.",
    ),
    "not_started": (
        "{its.person} has not started {its.method}.",
        "Training, a passed assessment and observed work.",
    ),
}


def say(
    ground: Ground,
    question: Question,
    standing: Standing,
    progress: Progress,
    grace_days: int,
    observed: Sequence[str],
) -> Reason:
    """Say a ground in words.

    Parameters
    ----------
    ground : One of those in `SAID`.
    question, standing, progress, grace_days, observed : What it was found from, as in `clear`.

    Returns
    -------
    The reason with what would change it.

    Raises
    ------
    KeyError : If the ground is a house rule's, which says it itself.
    """
    its = _Told(question, standing, progress, grace_days, observed)
    said, change = SAID[ground]
    return Reason(ground, said.format(its=its), change.format(its=its))


@dataclass(frozen=True, slots=True)
class _Told:
    """What the words may name; only what they do name is worked out."""

    question: Question
    standing: Standing
    progress: Progress
    grace_days: int
    observed: Sequence[str]

    @property
    def person(self) -> str:
        return self.question.person

    @property
    def method(self) -> str:
        return self.question.method

    @property
    def service(self) -> str:
        return self.question.service

    @property
    def day(self) -> str:
        return day_words(self.standing.day)

    @property
    def last_of_grace(self) -> str:
        ended = self.standing.day
        return day_words(ended and ended + timedelta(days=self.grace_days))

    @property
    def was_known(self) -> str:
        return f"was known until {self.day}" if self.standing.day else "was never looked at"

    @property
    def passed(self) -> str:
        return day_words(self.progress.passed_on)

    @property
    def missing(self) -> str:
        left = [one for one in self.observed if one not in self.progress.observed]
        return ", ".join(left) if left else "nothing; the record is about to be issued"
