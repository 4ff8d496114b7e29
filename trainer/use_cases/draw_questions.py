"""New questions by seed: families in turn, in a drawn order."""

from collections.abc import Iterator
from dataclasses import dataclass

from trainer.core.draw import Draw
from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.use_cases.refusals import InputProblem

SEEDS = 2**31


@dataclass(frozen=True, slots=True)
class Wish:
    """Which questions: '' or None for any method, topic or type."""

    count: int
    seed: int
    method: str | None = None
    topic: str | None = None
    type: str | None = None
    level: str = "working"


def draw_questions(bank: Bank, wish: Wish) -> Iterator[Item]:
    """Questions that fit a wish: same wish, same questions. Raises InputProblem if none fits."""
    found = families(bank, wish.method or None, wish.topic or None, wish.type or None)
    if not found:
        raise InputProblem("no questions fit", "method, topic, type", "Ask for less.")
    order = Draw("questions", wish.seed).shuffled(found)
    return (
        generate(
            bank,
            order[number % len(order)].id,
            Draw("question", wish.seed, number).below(SEEDS),
            wish.level,
        )
        for number in range(wish.count)
    )
