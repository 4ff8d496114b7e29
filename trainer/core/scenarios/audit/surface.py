"""What somebody who knows nothing can see: ways to guess from the surface alone.

A way gives each option a score; the guess is the option with the highest, ties shared evenly. No
way looks at givens, facts or key. After the tricks that Millman, Bishop and Ebel 1965 (Educational
and Psychological Measurement 25(3), 707-726) call test-wiseness.
"""

import re
from collections.abc import Callable, Mapping
from functools import lru_cache

from trainer.core.items.item import Item

Scores = dict[str, float]
Way = Callable[[Item], Scores]
WORD = re.compile(r"[a-z']+")
NUMBER = re.compile(r"\d+(?:[.:]\d+)?")


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


HEDGES = _words(
    "may might can could usually often some sometimes about perhaps if unless until first again"
    " gently carefully slowly lightly usual"
)
CARING = _words(
    "ask explain tell look check note write agree show talk listen feel comfort qualified"
    " health professional medical"
)
ABSOLUTE = _words(
    "always never only must all every none completely absolutely impossible nothing everything"
    " whole any nobody good"
)
SMALL = _words(
    "a an the of to in on at for from by with and or is are be it its as that this which what"
    " her his their she he they you your do does not no"
)


@lru_cache(maxsize=8192)
def words_of(text: str) -> tuple[str, ...]:
    """Its words in small letters, without figures."""
    return tuple(WORD.findall(text.lower()))


@lru_cache(maxsize=8192)
def bag_of(text: str) -> frozenset[str]:
    """Its words, each once."""
    return frozenset(words_of(text))


def _counted(some: frozenset[str], sign: float = 1.0) -> Way:
    def way(item: Item) -> Scores:
        return {o.id: sign * sum(w in some for w in words_of(o.text)) for o in item.options}

    return way


def _length(sign: float) -> Way:
    return lambda item: {o.id: sign * len(o.text) for o in item.options}


def _shared(sign: float) -> Way:
    """Words in common with the stem."""

    def way(item: Item) -> Scores:
        stem = bag_of(item.stem) - SMALL
        return {o.id: sign * len(stem & bag_of(o.text)) for o in item.options}

    return way


def _place(wanted: Callable[[int, int], bool]) -> Way:
    def way(item: Item) -> Scores:
        count = len(item.options)
        return {o.id: float(wanted(n, count)) for n, o in enumerate(item.options)}

    return way


def _alike(sign: float) -> Way:
    """Words in common with the other options: the one that others are variants of."""

    def way(item: Item) -> Scores:
        bags = {o.id: bag_of(o.text) for o in item.options}
        return {
            name: sign * sum(len(bag & other) / max(1, len(bag | other)) for other in bags.values())
            for name, bag in bags.items()
        }

    return way


def _figure(text: str) -> float | None:
    found = NUMBER.search(text)
    if found is None:
        return None
    hours, _, minutes = found.group().partition(":")
    sixty = 60.0
    return float(hours) + float(minutes) / sixty if minutes else float(hours)


def _figures(score: Callable[[list[float], float], float]) -> Way:
    """By the first figure in each option; where there are none, all the same."""

    def way(item: Item) -> Scores:
        told = {o.id: _figure(o.text) for o in item.options}
        known = sorted(value for value in told.values() if value is not None)
        return {name: 0.0 if value is None else score(known, value) for name, value in told.items()}

    return way


def _middle(known: list[float], value: float) -> float:
    return -abs(known.index(value) - (len(known) - 1) / 2)


def _stops(sign: float) -> Way:
    return lambda item: {
        o.id: sign * sum(o.text.count(mark) for mark in ",;:()") for o in item.options
    }


def _details(item: Item) -> Scores:
    return {o.id: float(len(NUMBER.findall(o.text))) for o in item.options}


WAYS: Mapping[str, Way] = {
    "the longest": _length(1.0),
    "the shortest": _length(-1.0),
    "the most hedged": _counted(HEDGES),
    "the least hedged": _counted(HEDGES, -1.0),
    "the most caring": _counted(CARING),
    "the least caring": _counted(CARING, -1.0),
    "the most absolute": _counted(ABSOLUTE),
    "the least absolute": _counted(ABSOLUTE, -1.0),
    "most words of the question": _shared(1.0),
    "fewest words of the question": _shared(-1.0),
    "the first": _place(lambda n, _: n == 0),
    "the second": _place(lambda n, _: n == 1),
    "in the middle of the list": _place(lambda n, count: 0 < n < count - 1),
    "the last": _place(lambda n, count: n == count - 1),
    "most like the others": _alike(1.0),
    "least like the others": _alike(-1.0),
    "the middle number": _figures(_middle),
    "the largest number": _figures(lambda _, value: value),
    "the smallest number": _figures(lambda _, value: -value),
    "most stops and brackets": _stops(1.0),
    "fewest stops and brackets": _stops(-1.0),
    "most figures": _details,
}
"""Ways to guess, by name."""

GUIDELINE: Mapping[str, str] = {
    "the longest": "HDR 24",
    "the shortest": "HDR 24",
    "the most hedged": "HDR 28a",
    "the least hedged": "HDR 28a",
    "the most absolute": "HDR 28a",
    "the least absolute": "HDR 28a",
    "most words of the question": "HDR 28b",
    "fewest words of the question": "HDR 28b",
    "the first": "HDR 20",
    "the second": "HDR 20",
    "in the middle of the list": "HDR 20",
    "the last": "HDR 20",
    "most like the others": "HDR 28e",
    "least like the others": "HDR 28e",
}
"""Way -> the guideline that it would break; any other: HDR 28d, a key that stands out."""


def can_guess(item: Item) -> bool:
    """Whether the item offers options of which some are right and some wrong."""
    return item.heading.type in ("choose_one", "choose_all")


def chance(item: Item) -> float:
    """How often a blind pick of one option is a right one, 0..1."""
    return len(item.key) / len(item.options)


def success(item: Item, scores: Scores) -> float:
    """How often the guess of a way is a right option, 0..1, ties shared evenly."""
    top = max(scores.values())
    tied = [name for name, score in scores.items() if score == top]
    return sum(name in item.key for name in tied) / len(tied)
