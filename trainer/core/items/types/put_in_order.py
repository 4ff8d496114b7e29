"""Put steps in order: any order that keeps every binding pair is right."""

from collections.abc import Mapping, Sequence
from math import factorial
from xml.etree.ElementTree import Element

from trainer.core.draw import Draw
from trainer.core.items.exported import (
    RESPONSE,
    Exported,
    all_of,
    any_of,
    base,
    el,
    of,
    outcome,
    put,
    response,
    right_when,
    var,
    when,
)
from trainer.core.items.exporting import choices, harm
from trainer.core.items.item import Draft, Heading, Item, Json, Mark, Offer
from trainer.core.items.types.lettered import item_of, lettered, same_twice, text_of
from trainer.core.problems import InputProblem

LEFT_OUT = "out"
FEWEST = 3


class PutInOrder:
    """Key: {'steps': ids that belong, 'pairs': [before, after] that bind}. Response: a list of ids.

    A step that does not belong (a forbidden one) is left out; putting it in is wrong.
    Beliefs and notes hang on 'b>a' for a broken pair (b placed before a) or on the id of a
    step that must be left out.
    """

    name = "put_in_order"

    def compose(self, heading: Heading, draft: Draft, draw: Draw) -> Item:
        options = lettered(draft, draw)
        letter = {offer.tag: name for name, offer in options}
        pairs = sorted([letter[a], letter[b]] for a, b in draft.pairs)
        key = {"steps": [name for name, offer in options if offer.right], "pairs": pairs}
        out = [(name, offer) for name, offer in options if not offer.right]
        beliefs = {name: offer.misconception for name, offer in out if offer.misconception}
        notes = {name: offer.note for name, offer in out if offer.note}
        by_name = dict(options)
        for before, after in pairs:
            beliefs |= _pair(before, after, by_name[before].misconception)
            notes |= _pair(before, after, by_name[before].note)
        return item_of(heading, draft, options, key, beliefs, notes)

    def read(self, sent: Mapping[str, Sequence[str]], item: Item) -> Json:
        placed: dict[str, int] = {}
        for option in item.options:
            said = (list(sent.get(f"place_{option.id}", ())) or [""])[0]
            if said == LEFT_OUT:
                continue
            if not said.isdecimal():
                raise InputProblem(
                    f"'{option.text}' has no place",
                    f"place_{option.id}",
                    "Give every step a place, or leave it out.",
                )
            placed[option.id] = int(said)
        if len(set(placed.values())) < len(placed):
            raise InputProblem(
                "two steps have the same place", "place", "Give every step a place of its own."
            )
        return self.accept(sorted(placed, key=lambda one: placed[one]), item)

    def accept(self, response: Json, item: Item) -> Json:
        known = [option.id for option in item.options]
        if not isinstance(response, list) or not response:
            raise InputProblem("needs a list of steps", "order", "Put the steps in order.")
        if any(step not in known for step in response) or len(set(response)) < len(response):
            raise InputProblem("a step stands twice or is unknown", "order", "Use each step once.")
        return response

    def mark(self, item: Item, response: Json) -> Mark:
        place = {step: number for number, step in enumerate(response)}
        missing = [step for step in item.key["steps"] if step not in place]
        extra = [step for step in response if step not in item.key["steps"]]
        broken = [
            f"{after}>{before}"
            for before, after in item.key["pairs"]
            if before in place and after in place and place[before] > place[after]
        ]
        wrong = (*extra, *broken, *missing)
        beliefs = dict.fromkeys(item.misconceptions[w] for w in wrong if w in item.misconceptions)
        if not wrong:
            return Mark(1.0)
        return Mark(0.0, item.injured_by(beliefs) and bool(extra or broken), tuple(beliefs), wrong)

    def unfit(self, offers: Sequence[Offer]) -> list[str]:
        return []

    def faults(self, item: Item) -> list[str]:
        found = same_twice(item.options)
        if not item.key["pairs"]:
            found.append("no pair binds: every order would be right")
        if len(item.key["steps"]) < FEWEST:
            found.append("too few steps to order")
        out = {o.id for o in item.options} - set(item.key["steps"])
        if out - set(item.misconceptions):
            found.append("a step to leave out has no belief behind it")
        return found

    def chance(self, item: Item) -> float:
        """Every pair bound would leave one order; the true share is above this floor."""
        return 1 / factorial(len(item.options))

    def say_key(self, item: Item) -> list[str]:
        said = [text_of(item, step) for step in one_right_order(item)]
        out = [o.text for o in item.options if o.id not in item.key["steps"]]
        return [*said, *(f"Leave out: {text}" for text in out)]

    def say_response(self, item: Item, response: Json) -> list[str]:
        return [text_of(item, step) for step in response]

    def export(self, item: Item) -> Exported:
        """The outside has no 'before': each step's place is kept, and places are compared."""
        wrongs = {o.id: _placed(o.id) for o in item.options if o.id not in item.key["steps"]}
        wrongs |= {
            f"{after}>{before}": _before(after, before) for before, after in item.key["pairs"]
        }
        right = all_of(
            [
                *(_placed(step) for step in item.key["steps"]),
                of("not", any_of(list(wrongs.values()))),
            ]
        )
        most = len(item.options)
        asked = "Put the steps in order. Leave out what does not belong."
        return Exported(
            (response(RESPONSE, "ordered", "identifier", one_right_order(item)),),
            (choices(item, "qti-order-interaction", asked, min_choices=1, max_choices=most),),
            el(
                "qti-response-processing",
                *(_find_place(option.id, most) for option in item.options),
                right_when(right),
                *harm(item, wrongs),
            ),
            tuple(outcome(_place(option.id), "integer") for option in item.options),
        )


def _place(step: str) -> str:
    return f"PLACE_{step}"


def _find_place(step: str, most: int) -> Element:
    return when(
        *(
            (
                of("match", of("index", var(), n=place), base("identifier", step)),
                [put(_place(step), base("integer", place))],
            )
            for place in range(1, most + 1)
        )
    )


def _placed(step: str) -> Element:
    return of("not", of("is-null", var(_place(step))))


def _before(first: str, second: str) -> Element:
    """Whether both have a place, and the first an earlier one."""
    places = of("lt", var(_place(first)), var(_place(second)))
    return of("and", _placed(first), _placed(second), places)


def _pair(before: str, after: str, value: str) -> dict[str, str]:
    return {f"{after}>{before}": value} if value else {}


def one_right_order(item: Item) -> list[str]:
    """One order that keeps every pair: the earliest free step each time."""
    left, placed = list(item.key["steps"]), []
    while left:
        free = next(
            step
            for step in left
            if all(before in placed for before, after in item.key["pairs"] if after == step)
        )
        left.remove(free)
        placed.append(free)
    return placed


TYPE = PutInOrder()
