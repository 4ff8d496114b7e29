"""Is what was assigned done? One person's progress on one module, and a group's."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

State = Literal["done", "overdue", "due_soon", "under_way", "not_begun"]
STATES: tuple[State, ...] = ("overdue", "due_soon", "not_begun", "under_way", "done")
"""Most pressing first."""
SOON_DAYS = 3
"""How many days before the due day a module counts as due soon."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far one person is: scenarios answered of `length`, and how many of them right."""

    answered: int
    right: int
    length: int
    due_on: date
    state: State

    @property
    def left(self) -> int:
        """Scenarios still to answer."""
        return max(0, self.length - self.answered)


def progress(answered: int, right: int, length: int, due_on: date, day: date) -> Progress:
    """Work out how far a person is on a day.

    Parameters
    ----------
    answered, right : Scenarios answered and wholly right; 0 <= right <= answered.
    length : Scenarios that the module asks for, 1 or more.
    due_on : Last day on which it is in time.
    day : The day asked about.

    Returns
    -------
    Done once `length` are answered, whatever the day. Else overdue after `due_on`, due soon
    within `SOON_DAYS` days of it, else under way or not begun.

    Raises
    ------
    ValueError : If the counts cannot be.
    """
    if not (0 <= right <= answered and length > 0):
        raise ValueError(f"{answered=}, {right=}, {length=}")
    return Progress(answered, right, length, due_on, _state(answered, length, due_on, day))


def most_pressing(people: Iterable[Progress]) -> State:
    """The state that speaks for a group: the most pressing of its people; done for nobody."""
    return min((one.state for one in people), key=STATES.index, default="done")


def _state(answered: int, length: int, due_on: date, day: date) -> State:
    if answered >= length:
        return "done"
    if day > due_on:
        return "overdue"
    if (due_on - day).days <= SOON_DAYS:
        return "due_soon"
    return "under_way" if answered else "not_begun"
