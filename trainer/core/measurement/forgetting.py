"""How well something is remembered: strength in days, and the chance to recall it at a later time.

The open three-variable model of memory (strength, hardness, chance of recall) with its published
weights, through the library that its authors keep. Its scheduling, grades and states are not used:
here an answer is recalled or not.
"""

from dataclasses import dataclass
from datetime import datetime

from fsrs import Card, Rating, Scheduler, State

MODEL = Scheduler(enable_fuzzing=False, learning_steps=(), relearning_steps=())
NOT_RECALLED, RECALLED = 1, 3


@dataclass(frozen=True, slots=True)
class Memory:
    """What is left of the answers so far.

    `strength_days`: days until the chance of recall falls to 90 %, > 0. `hardness`: 1 easy to
    10 hard to keep. `at`: the last answer, in UTC. `recalled`: whether it was right.
    """

    strength_days: float
    hardness: float
    at: datetime
    recalled: bool


def after_answer(before: Memory | None, recalled: bool, now: datetime) -> Memory:
    """The memory after one more answer, `before` None for the first.

    now : in UTC, not before the last answer. Raises ValueError for a time in another zone.

    References
    ----------
    Ye, Su & Cao 2022, A Stochastic Shortest Path Algorithm for Optimizing Spaced Repetition
    Scheduling (KDD '22), and its open successors; the strength and forgetting laws go back to
    Wozniak, Gorzelanczyk & Murakowski 1995, Acta Neurobiologiae Experimentalis 55.
    """
    return _after(before, RECALLED if recalled else NOT_RECALLED, now)


def chance_of_recall(memory: Memory, now: datetime) -> float:
    """The probability 0..1 that it is recalled now; whole days count, within one it is 1."""
    return float(MODEL.get_card_retrievability(_card(memory), now))


def _after(before: Memory | None, grade: int, now: datetime) -> Memory:
    card = Card(card_id=1) if before is None else _card(before)
    found, _ = MODEL.review_card(card, Rating(grade), now)
    if found.stability is None or found.difficulty is None:
        raise ValueError(f"{found=}")
    return Memory(found.stability, found.difficulty, now, grade > NOT_RECALLED)


def _card(memory: Memory) -> Card:
    return Card(
        card_id=1,
        state=State.Review,
        stability=memory.strength_days,
        difficulty=memory.hardness,
        last_review=memory.at,
    )
