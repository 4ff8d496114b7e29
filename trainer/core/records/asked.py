"""What the desk asks, and the shape of its answer: never bare, always with reasons."""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Literal

Answer = Literal["cleared", "supervised_only", "not_cleared"]
Ground = Literal[
    "record_in_force",
    "record_ended",
    "record_ended_in_grace",
    "record_suspended",
    "record_withdrawn",
    "record_marked",
    "status_not_checked",
    "service_outside_record",
    "assessment_covers_it",
    "work_not_signed_off",
    "assessment_not_passed",
    "not_started",
    "house_second_observation",
    "house_refresh",
    "house_first_clients",
    "top_up_overdue",
    "top_up_due",
    "emergency",
]
"""What a reason rests on, in a word that a program can read."""
ANSWERS: tuple[Answer, ...] = ("not_cleared", "supervised_only", "cleared")
"""From the strictest on."""
REMINDER = (
    "This speaks of the stylist, not of this client. Consultation and patch test still come first. "
    "Follow the maker's instructions, local law and licensing; anything wrong with a scalp goes to "
    "a licensed health professional."
)


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: the words for person and method, the service, the day.

    `urgent`: a removal that cannot wait (a reaction, burning, pain); only for the service remove.
    """

    person: str
    method: str
    service: str
    on: date
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: what it rests on, how it is said, and what would change it."""

    ground: Ground
    said: str
    would_change_it: str


@dataclass(frozen=True, slots=True)
class Clearance:
    """The answer with its reasons, the deciding one first; `reminder` always goes with it."""

    answer: Answer
    reasons: tuple[Reason, ...]
    reminder: str = REMINDER

    @property
    def reason(self) -> str:
        """All reasons, one after the other."""
        return " ".join(one.said for one in self.reasons)

    @property
    def would_change_it(self) -> str:
        """All that would change it, one after the other."""
        return " ".join(one.would_change_it for one in self.reasons)


@lru_cache(maxsize=4096)
def day_words(day: date | None) -> str:
    """Say a day in full ('3 March 2026').

    Parameters
    ----------
    day : The day, or None.

    Returns
    -------
    The words; 'an unknown day' for None.
    """
    return f"{day.day} {day.strftime('%B %Y')}" if day else "an unknown day"
