"""Questions to try before the clock starts: about nothing, from no family, counted nowhere."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from trainer.core.draw import Draw
from trainer.core.items.codec import as_kept
from trainer.core.items.item import Answer, Draft, Heading, Item, Offer
from trainer.core.items.registry import ITEM_TYPES, type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.marking.feedback import Feedback, feedback
from trainer.use_cases.question import Question, question_of
from trainer.use_cases.refusals import NotFound

TEXT = "en/warm_up"
NOWHERE = "warm_up"
"""Stands where an item's family stands: nothing of it is ever kept."""


@dataclass(frozen=True, slots=True)
class WarmUp:
    """One of `last` questions to try. `keys`: how it goes without a mouse."""

    number: int
    last: int
    question: Question
    keys: str


def show(bank: Bank, number: int, said: Any = None) -> WarmUp:
    """The question of a number, 1 or more. Raises NotFound past the last."""
    item = _item(bank, number)
    keys = _tables(bank)[number - 1]["keys"]
    return WarmUp(number, len(_tables(bank)), question_of(as_kept(item), said), keys)


def answer(bank: Bank, number: int, sent: Mapping[str, Sequence[str]]) -> Feedback:
    """What an answer to it is worth, and why. Raises NotFound; InputProblem for no answer."""
    item = _item(bank, number)
    kind = type_of(item)
    response = kind.read(sent, item)
    return feedback(bank, item, response, kind.mark(item, response))


def _tables(bank: Bank) -> Sequence[Mapping[str, Any]]:
    found: Sequence[Mapping[str, Any]] = bank.wording.get(TEXT, {}).get("item", ())
    return found


def _item(bank: Bank, number: int) -> Item:
    tables = _tables(bank)
    if not 1 <= number <= len(tables):
        raise NotFound
    table = tables[number - 1]
    heading = Heading(
        f"{NOWHERE}.{number}",
        NOWHERE,
        "",
        "consult",
        "consultation",
        table["type"],
        "foundation",
        bank.version,
    )
    draw = Draw("warm up", number)
    return ITEM_TYPES[table["type"]].compose(heading, _draft(table), draw)


def _draft(table: Mapping[str, Any]) -> Draft:
    steps = table.get("steps", ())
    right = table.get("right", steps)
    return Draft(
        table["stem"],
        table["explanation"],
        {},
        (),
        False,
        {},
        offers=tuple(
            Offer(text, text in right, text) for text in (*table.get("options", ()), *steps)
        ),
        pairs=tuple(zip(steps, steps[1:], strict=False)),
        answer=Answer(table["value"], table["unit"]) if "value" in table else None,
    )
