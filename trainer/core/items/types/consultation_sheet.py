"""What the candidate sees of a consultation in an outside format: card, steps, decision, plan."""

from collections.abc import Mapping
from xml.etree.ElementTree import Element

from trainer.core.items.exported import el
from trainer.core.items.item import Item, Json
from trainer.core.items.types.consultation_export import (
    DECIDED,
    EARLIEST,
    FEEDBACK,
    GRAMS,
    INCOMPLETE,
    PLAN,
    RETURN_FROM,
    RETURN_UNTIL,
    TAKEN,
    WORDS,
    step_of,
    verdict_of,
)

WHOLE_NUMBER, NUMBER = "[0-9]+", "[0-9]+([.][0-9]+)?"
LENGTH = 5
ASKED = {
    GRAMS: "How many grams? ",
    EARLIEST: "The first day it may be fitted, in days from today (today is 0): ",
    RETURN_FROM: "Back for care from, in days from today: ",
    RETURN_UNTIL: "Back for care until, in days from today: ",
}


def sheet(item: Item, verdicts: Mapping[str, str]) -> tuple[Element, ...]:
    """The parts in their order. `verdicts`: id -> words."""
    given = item.givens
    return (
        el("h2", "On the card"),
        el("ul", *(el("li", line) for line in given["card"])),
        el("h2", "Ask, look and test"),
        *(part for row in given["steps"] for part in _step(row)),
        el("h2", "Decide"),
        *(_verdict(method, given["names"][method], verdicts) for method in given["methods"]),
        *_plan(given),
        _one_of(WORDS, "What do you say?", {o.id: o.text for o in item.options}, 0),
        _block(FEEDBACK, INCOMPLETE, "Decide for each method, and give weight and day of a plan."),
        _button(DECIDED, "I have decided"),
    )


def _step(row: Mapping[str, Json]) -> tuple[Element, Element]:
    days = f" ({row['days']} days)" if row["days"] else ""
    return _button(step_of(row), row["words"] + days), _block(TAKEN, row["id"], row["finding"])


def _button(name: str, words: str) -> Element:
    return el("p", el("qti-end-attempt-interaction", response_identifier=name, title=words))


def _block(outcome: str, identifier: str, words: str) -> Element:
    return el(
        "qti-feedback-block",
        el("qti-content-body", el("p", words)),
        outcome_identifier=outcome,
        identifier=identifier,
        show_hide="show",
    )


def _verdict(method: str, name: str, verdicts: Mapping[str, str]) -> Element:
    return _one_of(verdict_of(method), f"{name}: what is right?", verdicts, 0)


def _one_of(name: str, question: str, options: Mapping[str, str], fewest: int) -> Element:
    return el(
        "qti-choice-interaction",
        el("qti-prompt", question),
        *(el("qti-simple-choice", text, identifier=key) for key, text in options.items()),
        response_identifier=name,
        max_choices=1,
        min_choices=fewest,
        shuffle="false",
    )


def _plan(given: Mapping[str, Json]) -> list[Element]:
    ways = {method: given["names"][method] for method in given["methods"]}
    asked = [_one_of(PLAN, "What do you plan?", {**ways, "none": "Nothing yet"}, 0)]
    for name, words in ASKED.items():
        entry = el(
            "qti-text-entry-interaction",
            response_identifier=name,
            expected_length=LENGTH,
            pattern_mask=NUMBER if name == GRAMS else WHOLE_NUMBER,
        )
        asked.append(el("p", words, entry))
    return asked
