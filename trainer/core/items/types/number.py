"""Number with a unit: right within the tolerance."""

import re
from collections.abc import Mapping, Sequence
from math import isfinite
from xml.etree.ElementTree import Element

from trainer.core.draw import Draw
from trainer.core.items.exported import (
    RESPONSE,
    Exported,
    base,
    el,
    of,
    response,
    var,
    written,
)
from trainer.core.items.exporting import by_slips
from trainer.core.items.item import Draft, Heading, Item, Json, Mark, Offer
from trainer.core.items.types.lettered import item_of
from trainer.core.problems import InputProblem


class Number:
    """Key: {'value', 'unit', 'tolerance'}. Response: a number in that unit.

    Beliefs and notes hang on the wrong values that they lead to.
    """

    name = "number"

    def compose(self, heading: Heading, draft: Draft, draw: Draw) -> Item:
        answer = draft.answer
        if answer is None or answer.value is None:
            raise ValueError(f"{heading.id}: a number without its answer")
        key = {"value": answer.value, "unit": answer.unit, "tolerance": answer.tolerance}
        return item_of(heading, draft, [], key, answer.slips, answer.notes)

    def read(self, sent: Mapping[str, Sequence[str]], item: Item) -> Json:
        said = (list(sent.get("value", ())) or [""])[0]
        try:
            return self.accept(float(_plain(said)), item)
        except ValueError:
            raise _problem(item) from None

    def accept(self, response: Json, item: Item) -> Json:
        known = isinstance(response, int | float) and not isinstance(response, bool)
        try:
            if known and isfinite(response):
                return response
        except OverflowError:
            pass
        raise _problem(item)

    def mark(self, item: Item, response: Json) -> Mark:
        if within(item.key, response):
            return Mark(1.0)
        beliefs = [
            belief
            for value, belief in item.misconceptions.items()
            if within(item.key | {"value": float(value)}, response)
        ]
        return Mark(0.0, item.injured_by(beliefs[:1]), tuple(beliefs[:1]), (f"{response:g}",))

    def unfit(self, offers: Sequence[Offer]) -> list[str]:
        return []

    def faults(self, item: Item) -> list[str]:
        found = []
        if item.key["tolerance"] < 0 or not isfinite(item.key["value"]):
            found.append("the key is no number with a tolerance")
        for value in item.misconceptions:
            if within(item.key, float(value)):
                found.append(f"the slip {value} would count as right")
        return found

    def chance(self, item: Item) -> float:
        return 0.0

    def say_key(self, item: Item) -> list[str]:
        key = item.key
        spread = f" (within {key['tolerance']:g} either way)" if key["tolerance"] else ""
        return [f"{key['value']:g} {key['unit']}".strip() + spread]

    def say_response(self, item: Item, response: Json) -> list[str]:
        return [f"{response:g} {item.key['unit']}".strip()]

    def export(self, item: Item) -> Exported:
        key = item.key
        asked = el(
            "p",
            "Your answer: ",
            el(
                "qti-text-entry-interaction",
                response_identifier=RESPONSE,
                expected_length=LENGTH,
                pattern_mask="[+\\-]?[0-9]+([.][0-9]+)?",
            ),
            f" {key['unit']}",
        )
        slips = [(_near(key, float(value)), b) for value, b in item.misconceptions.items()]
        return Exported(
            (response(RESPONSE, "single", "float", [key["value"]]),),
            (asked,),
            by_slips(item, _near(key, key["value"]), slips),
        )


def _near(key: Mapping[str, Json], value: float) -> Element:
    """The test that `within` makes, with its room for rounding."""
    room = written(key["tolerance"] * (1 + ROUNDING) + ROUNDING)
    return of(
        "equal", var(), base("float", value), tolerance_mode="absolute", tolerance=f"{room} {room}"
    )


def within(key: Mapping[str, Json], value: float) -> bool:
    """Whether a value lies within the key's tolerance, ends included."""
    gap = abs(value - key["value"])
    return bool(gap <= key["tolerance"] * (1 + ROUNDING) + ROUNDING)


def _plain(said: str) -> str:
    """Figures as Python reads them: '1,400' and '1 400' set off thousands, '2,5' is two and a half.

    A comma before exactly three figures, after one to three that do not begin with 0, sets off
    thousands, as the bank's own texts do.
    """
    close = "".join(said.split())
    if THOUSANDS.fullmatch(close):
        return close.replace(",", "")
    return close.replace(",", ".") if close.count(",") == 1 and "." not in close else close


def _problem(item: Item) -> InputProblem:
    unit = item.key["unit"]
    return InputProblem("is not a number", "value", f"Write a number, in {unit or 'figures'}.")


ROUNDING = 1e-9
LENGTH = 8
THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2}(,[0-9]{3})+(\.[0-9]+)?")
TYPE = Number()
