"""Ask the people of a house anew after a safety fact changed: so many questions, by a day."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from trainer.store import fact_changes, team_summaries, top_ups
from trainer.store.unit import Unit
from trainer.use_cases.keep_log import log
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS, SETTERS

SHORTEST, USUAL, LONGEST = 5, 6, 8
USUAL_DAYS = 14
FARTHEST = timedelta(days=366)


@dataclass(frozen=True, slots=True)
class Wish:
    """`length` questions by `due_on`; `required`: whoever is late with it is held back."""

    length: int
    due_on: date
    required: bool = False


def offer(unit: Unit, change_id: str, wish: Wish, now: datetime) -> None:
    """Offer a top-up to the holders of the viewer's house, or change the day and what it asks.

    Whoever asks about people may offer it. Only those who settle the house's rules may have it
    required, or lift that. Whoever has begun keeps their number of questions. Kept in the log.

    Raises NotFound, Forbidden, InputProblem naming the field.
    """
    unit.viewer.must_be(*ASKERS)
    change = fact_changes.change(unit, change_id)
    if not (change.open and change.askable):
        raise InputProblem("There is nothing to ask about this", "length", "Tell people yourself.")
    before = top_ups.offered(unit, change_id, to_change=True)
    _check(wish, before.due_on if before else None, now)
    if wish.required is not (before is not None and before.required):
        unit.viewer.must_be(*SETTERS)
    told = {"length": wish.length, "due_on": wish.due_on, "required": wish.required}
    by = {"offered_by": unit.viewer.person_id, "offered_at": now}
    if before is None:
        top_ups.offer(unit, {"change_id": change_id, **told, **by})
    else:
        for name, value in (told | by).items():
            setattr(before, name, value)
    unit.flush()
    team_summaries.forget(unit)
    said = told | {"due_on": wish.due_on.isoformat(), "change": change_id, "fact": change.fact}
    log(unit, "top_up.offered", said, now)


def _check(wish: Wish, was_due: date | None, now: datetime) -> None:
    if not SHORTEST <= wish.length <= LONGEST:
        raise InputProblem(
            f"{wish.length} questions cannot be", "length", f"Give {SHORTEST} to {LONGEST}."
        )
    if wish.due_on < now.date() and wish.due_on != was_due:
        raise InputProblem("That day is over", "due_on", "Choose today or later.")
    if wish.due_on > now.date() + FARTHEST:
        raise InputProblem("That is more than a year away", "due_on", "Choose a nearer day.")
