"""What helps most to practise now: one utility, its weights in one place, and why in one sentence.

    ASSIGNED if an instructor asked for it, OVERDUE more as its date comes near
    + NEED x need x part x (1 + SAFETY if a mistake there can hurt
                              + REVISIT x how lately a wrong idea showed that is not settled there)
    + RISING x how fast the share right rises with ability there x share
    + UNSURE x SD of the ability there
    + INFORMATION x what an answer would tell, as a share of what a plain family can tell
    - SAME_TOPIC if the last answer was there - SAME_FAMILY x how lately that family was shown

The middle is what an assessment would gain. Nobody knows whether a reason read helps with its own
family alone (as knowledge tracing has it, Corbett & Anderson 1995, User Modeling and User-Adapted
Interaction 4) or with all of its topic (as performance factors have it, Pavlik, Cen & Koedinger
2009, Artificial Intelligence in Education), so both count: a plain new family at the edge of
ability is worth NEED / 2 = 1 for itself and RISING = 1.5 for its topic.

need, 0..1: 1 when the last answer was wrong; before any, the chance that somebody of the ability
there goes wrong; else the chance that it is forgotten by now (`forgetting`), never under KEPT, as
one right answer may be a guess. part and share: what the family and its topic weigh in the
assessment, as shares of the weightiest. The weights are judged, in this order: what an instructor
asked for, then what went wrong or is new and can hurt, then what fades.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, pi, sqrt

from trainer.core.draw import Draw
from trainer.core.measurement.ability import SURE, Ability, chance_above
from trainer.core.measurement.priors import Difficulty

ASSIGNED, OVERDUE = 5.0, 2.0
NEED, RISING, SAFETY, REVISIT = 2.0, 1.5, 0.5, 0.5
UNSURE, INFORMATION = 0.25, 0.25
SAME_TOPIC, SAME_FAMILY = 0.1, 5.0
KEPT = 0.15
TOLD = 0.15
"""From this chance on the reason says that it may be fading."""
SOON_DAYS = 7.0
IDEA_DAYS = 14.0
"""So long a wrong idea is looked for again after it last showed."""
RECENT = 8
"""Scenarios for which the same family does not come back, where there is another."""
PLAIN_MOST = 0.25
"""The most that a family of slope 1 without guessing can tell: a^2 / 4."""
NUDGE = 0.05
"""Nearer than this, chance decides."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A family that may be practised, and what is known around it, as numbers and flags.

    `topic`: names method and topic. `ability`, `responses`: there. `recall`: chance 0..1 that this
    family is recalled now, None before any answer to it; `went_wrong`: its last answer was wrong.
    `days_since`: since the last answer to the family. `idea_days`: days since an answer on the
    topic last showed a wrong idea, None if none did. `due_days`: days until an assignment that asks
    for it is due (negative: overdue), None when it has no date. `just_now`: the last answer was on
    the topic. `shown_ago`: scenarios since the family was last shown, 0 for the last one; None if
    not lately. `part`, `share`: weight in the assessment, 0..1. `difficulty`: None if not known.
    """

    id: str
    topic: str
    critical: bool
    ability: Ability
    responses: int
    recall: float | None = None
    went_wrong: bool = False
    days_since: float | None = None
    idea_days: float | None = None
    assigned: bool = False
    due_days: float | None = None
    just_now: bool = False
    shown_ago: int | None = None
    part: float = 1.0
    share: float = 1.0
    difficulty: Difficulty | None = None


@dataclass(frozen=True, slots=True)
class Picked:
    """The choice that helps most, and one sentence that says why."""

    choice: Choice
    reason: str


def pick(choices: Sequence[Choice], standard: float, draw: Draw) -> Picked:
    """The choice of highest utility; near ties (within 0.05) fall by chance.

    Raises ValueError without choices.
    """
    if not choices:
        raise ValueError("nothing to choose from")
    worth = [utility(one) + NUDGE * draw.fraction() for one in choices]
    best = choices[max(range(len(choices)), key=worth.__getitem__)]
    return Picked(best, why(best, standard))


def utility(choice: Choice) -> float:
    """The worth of practising this now, by the formula at the head of this file."""
    stake = 1 + SAFETY * choice.critical + REVISIT * _idea(choice)
    worth = NEED * need(choice) * choice.part * stake
    worth += RISING * rises(choice.ability) * choice.share
    worth += UNSURE * choice.ability.sd + INFORMATION * _told(choice)
    if choice.assigned:
        soon = 0.0 if choice.due_days is None else 1 - choice.due_days / SOON_DAYS
        worth += ASSIGNED + OVERDUE * max(0.0, min(soon, 1.0))
    return worth - SAME_TOPIC * choice.just_now - SAME_FAMILY * _shown(choice)


def need(choice: Choice) -> float:
    """How much there is to gain from this family, 0..1."""
    if choice.went_wrong:
        return 1.0
    if choice.recall is None:
        return goes_wrong(choice.ability, choice.difficulty)
    return max(1 - choice.recall, KEPT)


def goes_wrong(ability: Ability, family: Difficulty | None = None) -> float:
    """Chance 0..1 of not knowing it, guessing aside; a plain family where none is given.

    The ability's uncertainty is averaged over as `Difficulty.slope` does it (MacKay 1992).
    """
    slope, b = (1.0, 0.0) if family is None else (family.slope, family.b)
    flat = slope / sqrt(1 + pi * slope**2 * ability.sd**2 / 8)
    return 1 / (1 + exp(min(flat * (ability.mean - b), 50.0)))


def rises(ability: Ability) -> float:
    """How fast the share right on a plain family rises with ability there, 1 where it is steepest.

    4 p (1 - p), the slope of the logistic curve over its greatest.
    """
    wrong = goes_wrong(ability)
    return 4 * wrong * (1 - wrong)


def why(choice: Choice, standard: float) -> str:
    """One sentence, in plain words, that says why this comes now."""
    if choice.assigned:
        return _assigned(choice.due_days)
    if choice.responses == 0:
        return (
            "New to you, and a mistake here can hurt someone."
            if choice.critical
            else "You have not tried this yet."
        )
    return _of_the_family(choice) or _of_the_topic(choice, standard)


def _of_the_family(choice: Choice) -> str:
    if _idea(choice) and not choice.went_wrong:
        return "An answer here showed a wrong idea not long ago. See whether it is settled."
    if choice.went_wrong:
        return "This went wrong last time, so it comes back."
    if choice.recall is None:
        return (
            "There is more here that you have not met, and a mistake can hurt someone."
            if choice.critical
            else "There is more here that you have not met yet."
        )
    if 1 - choice.recall >= TOLD and choice.days_since is not None:
        return f"You last did this {round(choice.days_since)} days ago, so it may be fading."
    return ""


def _of_the_topic(choice: Choice, standard: float) -> str:
    if chance_above(choice.ability, standard) >= SURE:
        return "You do this well. One more keeps it fresh."
    if choice.critical:
        return "Safety depends on this, and you are not sure of it yet."
    return "You are close to the standard here. Practice now counts most."


def _told(choice: Choice) -> float:
    """Information at the ability as a share of what a plain family tells at most, 0..1."""
    family = choice.difficulty
    if family is None:
        return 1.0
    odds = exp(min(family.slope * (family.b - choice.ability.mean), 50.0))
    told = family.slope**2 * (1 - family.floor) * odds / (1 + family.floor * odds) / (1 + odds) ** 2
    return min(told / PLAIN_MOST, 1.0)


def _idea(choice: Choice) -> float:
    days = choice.idea_days
    return 0.0 if days is None else max(0.0, 1 - days / IDEA_DAYS)


def _shown(choice: Choice) -> float:
    ago = choice.shown_ago
    return 0.0 if ago is None else max(0.0, 1 - ago / RECENT)


def _assigned(due_days: float | None) -> str:
    if due_days is None:
        return "Your instructor asked you to work on this."
    if due_days < 0:
        return "Your instructor asked for this, and its date has passed."
    days = int(due_days)
    when = {0: "today", 1: "tomorrow"}.get(days, f"in {days} days")
    return f"Your instructor asked for this. It is due {when}."
