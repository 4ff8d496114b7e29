"""Whether somebody may sit an assessment: every condition with its state.

ISO/IEC 17024:2012, 9.1: the requirements are told before the application, and checked after it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

What = Literal["agreement", "practice", "waiting", "questions", "record"]


@dataclass(frozen=True, slots=True)
class Course:
    """A module that stands before an assessment: scenarios answered, of how many."""

    title: str
    answered: int
    length: int

    @property
    def done(self) -> bool:
        """Whether all of it is answered."""
        return self.answered >= self.length


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of a person before a full assessment of a method.

    `agreed`: the agreement as it now reads is signed. `courses`: modules of the method that their
    instructor set before the assessment, without those closed undone. `practised` scenarios of
    the method, of `practised_least`. `from_when`: end of the waiting time; None where none runs.
    `unmet`: topics that the bank has too few questions for.
    """

    agreed: bool
    courses: tuple[Course, ...]
    practised: int
    practised_least: int
    from_when: datetime | None
    unmet: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition. `done` of `of` scenarios; `titles`: modules; `words`: what else to say."""

    what: What
    met: bool
    done: int = 0
    of: int = 0
    titles: tuple[str, ...] = ()
    from_when: datetime | None = None
    words: str = ""


def conditions(known: Known) -> tuple[Condition, ...]:
    """How each condition of a full assessment stands.

    Parameters
    ----------
    known : What is known of the person.

    Returns
    -------
    Practice, waiting time, agreement; and 'questions' only where the bank has too few. Practice:
    every module that stands before the assessment is done; where there is none, `practised_least`
    scenarios of the method are answered.
    """
    found = [_practice(known), _waiting(known), Condition("agreement", known.agreed)]
    if known.unmet:
        found.append(Condition("questions", False, words="; ".join(known.unmet)))
    return tuple(found)


def conditions_to_renew(agreed: bool, why_not: str) -> tuple[Condition, ...]:
    """How each condition of a refresh set stands.

    Parameters
    ----------
    agreed : The agreement as it now reads is signed.
    why_not : Why no refresh set is open to the person; '' where it is.
    """
    return (Condition("record", not why_not, words=why_not), Condition("agreement", agreed))


def all_met(found: Sequence[Condition]) -> bool:
    """Whether nothing is missing."""
    return all(one.met for one in found)


def _practice(known: Known) -> Condition:
    if not known.courses:
        least = known.practised_least
        return Condition("practice", known.practised >= least, min(known.practised, least), least)
    left = [one for one in known.courses if not one.done] or known.courses
    return Condition(
        "practice",
        all(one.done for one in known.courses),
        sum(min(one.answered, one.length) for one in left),
        sum(one.length for one in left),
        tuple(one.title for one in left),
    )


def _waiting(known: Known) -> Condition:
    return Condition("waiting", known.from_when is None, from_when=known.from_when)
