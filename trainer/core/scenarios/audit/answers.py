"""What can be wrong with the answers of one item. A check yields what it finds, in words."""

import re
from datetime import date
from itertools import combinations

from trainer.core.items.item import Item
from trainer.core.items.registry import type_of
from trainer.core.items.types.date import ends
from trainer.core.scenarios.audit.surface import words_of
from trainer.core.scenarios.audit.words import ABSOLUTE, Found

FEWEST = {
    "consultation": 3,
    "choose_one": 3,
    "choose_all": 4,
    "put_in_order": 3,
    "point_at_figure": 2,
}
MOST = {
    "choose_one": 6,
    "choose_all": 9,
    "put_in_order": 9,
    "point_at_figure": 9,
    "consultation": 6,
}
NEGATIONS = frozenset(("not", "no", "never", "only"))
ONE_ASKED_AS_SEVERAL = re.compile(r"\bWhich (?:\w+ )?(?:of [^.?]* )?are\b[^.?]*\?$")
LARGEST_RATIO = 100.0
MOST_DAYS_OFF = 366


def enough(item: Item) -> Found:
    """HDR 18."""
    least, most = FEWEST.get(item.heading.type, 0), MOST.get(item.heading.type, 0)
    if not least <= len(item.options) <= most:
        yield f"{len(item.options)} answers"


def one_right(item: Item) -> Found:
    """HDR 19."""
    yield from type_of(item).faults(item)


def no_trick(item: Item) -> Found:
    """HDR 7."""
    for one, other in combinations(item.options, 2):
        apart = set(words_of(one.text)) ^ set(words_of(other.text))
        if apart and apart <= NEGATIONS:
            yield f"only {' '.join(sorted(apart))!r} tells two answers apart"
    if item.heading.type == "number":
        near = 2 * item.key["tolerance"]
        for slip in item.misconceptions:
            if abs(float(slip) - item.key["value"]) < near:
                yield f"the slip {slip} lies close to {item.key['value']:g}"


def apart(item: Item) -> Found:
    """HDR 22."""
    texts = [option.text.casefold().strip(" .") for option in item.options]
    for one, other in combinations(texts, 2):
        if one == other:
            yield f"two answers read the same: {one!r}"
        elif (one in other or other in one) and item.heading.type == "choose_one":
            yield f"one answer holds another: {one!r}, {other!r}"


def alike(item: Item) -> Found:
    """HDR 23."""
    texts = [option.text.strip() for option in item.options]
    for what, forms in (
        ("a stop at the end", {text[-1:] in ".?" for text in texts}),
        ("a figure at the start", {text[:1].isdigit() for text in texts}),
        ("a capital at the start", {text[:1].isupper() for text in texts}),
    ):
        if len(forms) > 1:
            yield f"some have {what}, some have not"


def absolutes(item: Item) -> Found:
    """HDR 28a."""
    if item.heading.type != "choose_one":
        return
    absolute = {o.id: bool(ABSOLUTE.search(o.text)) for o in item.options}
    wrong = [name for name in absolute if name not in item.key]
    if len(wrong) > 1 and all(absolute[name] for name in wrong) and not absolute[item.key[0]]:
        yield "only the wrong answers are absolute"


def grammar_tells(item: Item) -> Found:
    """HDR 28c."""
    last = item.stem.rstrip(" .:?").rpartition(" ")[2]
    if last in ("a", "an"):
        yield f"the stem ends in {last!r}"
    if item.heading.type == "choose_one" and ONE_ASKED_AS_SEVERAL.search(item.stem):
        yield "asks for several where one is right"


def of_that_size(item: Item) -> Found:
    """HDR 28f."""
    if item.heading.type == "number":
        value = item.key["value"]
        for wrong in map(float, item.misconceptions):
            ratio = max(abs(wrong), abs(value)) / max(1e-9, min(abs(wrong), abs(value)))
            if wrong * value <= 0 or ratio > LARGEST_RATIO:
                yield f"{wrong:g} where {value:g} is right"
    if item.heading.type == "date":
        first = date.fromisoformat(ends(item.key)[0])
        for slip in item.misconceptions:
            if abs((date.fromisoformat(slip) - first).days) > MOST_DAYS_OFF:
                yield f"{slip} where {first} is right"


def tempting(item: Item) -> Found:
    """HDR 29."""
    for wrong in item.misconceptions:
        if wrong not in item.key and not item.notes.get(wrong):
            yield f"no reason why {wrong} tempts"
