"""Free answers with the slips that lead elsewhere: what the lines of reasoning share."""

from collections.abc import Mapping
from datetime import date

from trainer.core.items.item import Answer
from trainer.core.scenarios.case import Case


def number_answer(
    case: Case, value: float, unit: str, tolerance: float, slips: Mapping[str, float]
) -> Answer:
    """A number within a tolerance, and where slips lead.

    `slips`: word -> wrong value; the word names the belief in the recipe's settings and the note
    in its words. A slip that lies within twice the tolerance of the key is left out.
    """
    apart = {word: slip for word, slip in slips.items() if abs(slip - value) > 2 * tolerance}
    places = {word: repr(round(slip, 2)) for word, slip in apart.items()}
    return Answer(
        value=float(value),
        unit=unit,
        tolerance=float(tolerance),
        slips={place: case.named_belief(word).id for word, place in places.items()},
        notes={place: case.say(word) for word, place in places.items()},
    )


def date_answer(case: Case, day: date, slips: Mapping[str, date]) -> Answer:
    """A day, and where slips lead: word -> wrong day. A slip that hits the day is left out."""
    apart = {word: slip for word, slip in slips.items() if slip != day}
    return Answer(
        first=day.isoformat(),
        slips={slip.isoformat(): case.named_belief(word).id for word, slip in apart.items()},
        notes={slip.isoformat(): case.say(word) for word, slip in apart.items()},
    )
