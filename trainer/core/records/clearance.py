"""Clearance: may this person do this service with this method on this day?

The answer speaks of the stylist, never of the client in the chair. The rule, in one place:

- competent: cleared, unless a house rule asks for more (`house_rules`): then supervised only.
- cleared otherwise, but a top-up on a changed fact was required by a day that is over (`top_up`):
  supervised only until it is finished; before that day cleared, with a line that says so.
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

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from trainer.core.knowledge.words import OBSERVED_SERVICES
from trainer.core.records.asked import REMINDER, Answer, Clearance, Ground, Question, Reason
from trainer.core.records.emergency_removal import clear_in_emergency
from trainer.core.records.grounds import say
from trainer.core.records.house_rules import Backing, HouseRules, held_back, unmet
from trainer.core.records.standing import Progress, Standing
from trainer.core.records.top_up import due, overdue

__all__ = [
    "REMINDER",
    "Answer",
    "Clearance",
    "Question",
    "Reason",
    "answer_to",
    "assessment_counts",
    "clear",
]
UNKNOWN = Backing()
GIVES: Mapping[Ground, Answer] = {
    "record_in_force": "cleared",
    "assessment_covers_it": "cleared",
    "record_ended_in_grace": "supervised_only",
    "work_not_signed_off": "supervised_only",
    "record_ended": "not_cleared",
    "record_suspended": "not_cleared",
    "record_withdrawn": "not_cleared",
    "record_marked": "not_cleared",
    "status_not_checked": "not_cleared",
    "service_outside_record": "not_cleared",
    "assessment_not_passed": "not_cleared",
    "not_started": "not_cleared",
}
"""What each ground gives, before house rules."""
STOPPED: Mapping[str, Ground] = {
    "suspended": "record_suspended",
    "withdrawn": "record_withdrawn",
    "marked": "record_marked",
    "unchecked": "status_not_checked",
}


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
    days = rules.grace_days
    ground = _ground(question.service, question.on, standing, progress, days, observed)
    reason = say(ground, question, standing, progress, days, observed)
    found = Clearance(GIVES[ground], (reason,))
    if question.urgent:
        return clear_in_emergency(question, found, standing, ended_days)
    if found.answer != "cleared":
        return found
    on, asked = question.on, backing.top_ups
    late = [overdue(question, one) for one in asked if one.holds_back(on)]
    held = (*late, *held_back(question, rules, backing))
    coming = [due(question, one) for one in asked if one.is_due(on)]
    reasons = (*held, *found.reasons, *coming)
    return Clearance("supervised_only" if held else "cleared", reasons)


def answer_to(
    service: str,
    on: date,
    standing: Standing,
    progress: Progress,
    rules: HouseRules,
    observed: Sequence[str],
    backing: Backing,
) -> Answer:
    """Answer in a word alone, for pictures of many people.

    Parameters
    ----------
    service, on : What is asked, of nobody in particular.
    standing, progress, rules, observed, backing : As for `clear`.

    Returns
    -------
    What `clear` answers to the same question, if it is not urgent.
    """
    found = GIVES[_ground(service, on, standing, progress, rules.grace_days, observed)]
    if found != "cleared":
        return found
    late = any(one.holds_back(on) for one in backing.top_ups)
    return "supervised_only" if late or unmet(service, on, rules, backing) else "cleared"


def assessment_counts(on: date, standing: Standing, progress: Progress) -> bool:
    """Tell whether a passed assessment alone counts for a person, in the place of a record.

    Parameters
    ----------
    on : The day asked about.
    standing, progress : As for `clear`.

    Returns
    -------
    True where they passed by that day and hold no record, or passed again since theirs ended. False
    of whoever holds one in force, or has been stopped.
    """
    passed, word = progress.passed_on, standing.word
    if passed is None or passed > on or word == "competent" or word in STOPPED:
        return False
    return word != "expired" or (standing.day or date.min) < passed


def _ground(
    service: str,
    on: date,
    standing: Standing,
    progress: Progress,
    grace_days: int,
    observed: Sequence[str],
) -> Ground:
    word, ended = standing.word, standing.day or date.min
    hands_on = service in OBSERVED_SERVICES
    if hands_on and service not in observed:
        return "service_outside_record"
    if word == "competent":
        return "record_in_force"
    if word in STOPPED:
        return STOPPED[word]
    if assessment_counts(on, standing, progress):
        return "work_not_signed_off" if hands_on else "assessment_covers_it"
    if word == "expired":
        in_grace = on <= ended + timedelta(days=grace_days)
        return "record_ended_in_grace" if in_grace else "record_ended"
    return "assessment_not_passed" if word == "working_towards" else "not_started"
