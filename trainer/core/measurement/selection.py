"""What helps most to practise now, and why."""

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.core.draw import Draw
from trainer.core.measurement.ability import SURE, Ability, chance_above
from trainer.core.measurement.priors import LEVELS

ASSIGNED, OVERDUE, SAFETY, UNSURE, EDGE, RESTED, SAME_AGAIN = 3.0, 1.5, 1.0, 1.0, 1.0, 1.0, -1.0
SOON_DAYS = 7.0
FADING_DAYS = 14.0
FRESH = 3
NUDGE = 0.05


@dataclass(frozen=True, slots=True)
class Choice:
    """Something that may be practised: a topic of a method, as numbers and flags.

    `days_since`: days since it was last practised, None for never. `due_days`: days until an
    assignment that asks for it is due (negative: overdue), None when it is not assigned or has
    no date. `just_now`: the last response was on it.
    """

    id: str
    critical: bool
    ability: Ability
    responses: int
    days_since: float | None
    assigned: bool = False
    due_days: float | None = None
    just_now: bool = False


@dataclass(frozen=True, slots=True)
class Picked:
    """The choice that helps most, and one sentence that says why."""

    choice: Choice
    reason: str


def pick(choices: Sequence[Choice], standard: float, draw: Draw) -> Picked:
    """The choice of highest utility; near ties (within 0.05) fall by chance.

    utility = 3 if assigned (+1.5 as its date comes near) + 1 if safety depends on it
    + posterior SD + nearness of the standard (1 at even odds, 0 when sure)
    + days rested / 14 (at most 1) - 1 for what was practised just now.

    The weights are judged: what an instructor asked for comes first, then safety, then what is
    least known or nearest the edge. Raises ValueError without choices.
    """
    if not choices:
        raise ValueError("nothing to choose from")
    worth = {id(one): utility(one, standard) + NUDGE * draw.fraction() for one in choices}
    best = max(choices, key=lambda one: worth[id(one)])
    return Picked(best, _why(best, standard))


def utility(choice: Choice, standard: float) -> float:
    """The worth of practising this now; see `pick`. Higher is better."""
    worth = SAFETY * choice.critical + UNSURE * choice.ability.sd
    worth += EDGE * _edge(choice.ability, standard)
    rested = FADING_DAYS if choice.days_since is None else choice.days_since
    worth += RESTED * min(rested / FADING_DAYS, 1.0)
    if choice.assigned:
        soon = 0.0 if choice.due_days is None else 1 - choice.due_days / SOON_DAYS
        worth += ASSIGNED + OVERDUE * max(0.0, min(soon, 1.0))
    return worth + SAME_AGAIN * choice.just_now


def level_for(ability: Ability, responses: int) -> str:
    """The level whose centre lies nearest the ability; the first three are foundation."""
    if responses < FRESH:
        return "foundation"
    return min(LEVELS, key=lambda level: abs(LEVELS[level] - ability.mean))


def _edge(ability: Ability, standard: float) -> float:
    chance = chance_above(ability, standard)
    return 4 * chance * (1 - chance)


def _why(choice: Choice, standard: float) -> str:
    if choice.assigned:
        return _assigned(choice.due_days)
    if choice.responses == 0:
        return (
            "New to you, and a mistake here can hurt someone."
            if choice.critical
            else "You have not tried this yet."
        )
    if choice.days_since is not None and choice.days_since >= FADING_DAYS:
        return "You have not done this for two weeks or more, so it may be fading."
    chance = chance_above(choice.ability, standard)
    if chance >= SURE:
        return "You do this well. One more keeps it fresh."
    if choice.critical:
        return "Safety depends on this, and you are not sure of it yet."
    return "You are close to the standard here. Practice now counts most."


def _assigned(due_days: float | None) -> str:
    if due_days is None:
        return "Your instructor asked you to work on this."
    if due_days < 0:
        return "Your instructor asked for this, and its date has passed."
    days = int(due_days)
    when = {0: "today", 1: "tomorrow"}.get(days, f"in {days} days")
    return f"Your instructor asked for this. It is due {when}."
