"""What can be wrong with the words of one item. A check yields what it finds, in words."""

import re
from collections.abc import Callable, Iterator

from trainer.core.items.item import Item
from trainer.core.items.registry import ITEM_TYPES
from trainer.core.scenarios.size import too_long, words_in

Found = Iterator[str]
Check = Callable[[Item], Found]

BROKEN = re.compile(r"\{\{|\}\}|\{%|\bNone\b|  |\s[.,;?]|\.\.|,,|\?\.|\.\?")
ARTICLE = re.compile(
    r"\b[Aa] [aeiou](?!ni|ne|se|ti)\w+|\b[Aa]n [bcdfgjklmnpqrstvwxyz]\w+", re.IGNORECASE
)
DOUBLED = re.compile(r"\b(?!that\b|had\b)([a-z]+) \1\b", re.IGNORECASE)
OPINION = re.compile(
    r"in your opinion|do you (?:think|feel|believe|prefer)|your favou?rite", re.IGNORECASE
)
NEGATIVE = re.compile(r"\bNOT\b|\bEXCEPT\b|[Ww]hich (?:is|are) not\b|\bexcept\?")
NEGATIVE_OPTION = re.compile(r"\bNOT\b|\bnot\b[^.,;]*\bnot\b|\bnever\b[^.,;]*\bnot\b")
TELLS = re.compile(
    r"\?|(?:^|[.:,] )(?:put|tick|find|bring|say|sort|reckon|plan|work out|tell|choose|match|"
    r"name|mark|decide|ask|set|give|place|write|point|pick)\b",
    re.IGNORECASE | re.MULTILINE,
)
SEVERAL = re.compile(r"\b(each|every|which|tick|all|any|list)\b", re.IGNORECASE)
LIST_IN_STEM = re.compile(r"(?:^|\s)[abcABC][).] \w")
COMPLEX = re.compile(
    r"^(?:both|neither)\b|\b[a-f1-6] (?:and|or) [a-f1-6]\b(?! cm| mm| g\b)", re.IGNORECASE
)
ABSOLUTE = re.compile(r"\b(always|never|only|must|completely|impossible)\b", re.IGNORECASE)
NONE_OF = re.compile(r"\bnone of (the above|these|them)\b", re.IGNORECASE)
ALL_OF = re.compile(r"\ball of (the above|these|them)\b", re.IGNORECASE)
SENTENCE_END = re.compile(r"(?<=[.?!])\s+")
FEWEST_WORDS, MOST_SENTENCES = 6, 12


def proof(item: Item) -> Found:
    """HDR 11."""
    for text in (item.stem, item.explanation, *_texts(item)):
        if BROKEN.search(text) or not text.strip():
            yield f"broken words in {text[:60]!r}"


def grammar(item: Item) -> Found:
    """HDR 12."""
    if "?" not in item.stem and item.stem[-1:] not in ".:":
        yield "the stem does not end"
    if item.stem[:1].islower():
        yield f"the stem begins small: {item.stem[:30]!r}"
    for text in (item.stem, *_texts(item)):
        slip = ARTICLE.search(text)
        if slip and not _spoken_otherwise(slip.group()):
            yield f"article: {slip.group()!r}"
        doubled = DOUBLED.search(text)
        if doubled:
            yield f"the same word twice: {doubled.group()!r}"


def _spoken_otherwise(slip: str) -> bool:
    word = slip.split()[1].casefold()
    return word.startswith(("one", "use", "uni", "usual", "eu", "hour", "honest", "heir"))


def opinion(item: Item) -> Found:
    """HDR 6."""
    if OPINION.search(item.stem):
        yield item.stem[:80]


def plain_format(item: Item) -> Found:
    """HDR 9."""
    if item.heading.type not in ITEM_TYPES:
        yield f"unknown type {item.heading.type}"
    for text in _texts(item):
        if COMPLEX.search(text):
            yield text


def set_apart(item: Item) -> Found:
    """HDR 10."""
    for text in _texts(item):
        if "\n" in text:
            yield f"an answer of several lines: {text[:60]!r}"
    if LIST_IN_STEM.search(item.stem):
        yield "answers stand in the stem"


def short(item: Item) -> Found:
    """HDR 13."""
    if too_long(item):
        stem, whole = words_in(item)
        yield f"{stem} words in the stem, {whole} in all"


def directions(item: Item) -> Found:
    """HDR 14."""
    if not TELLS.search(item.stem):
        yield f"nothing is asked: {item.stem[-80:]!r}"
    if item.stem.rpartition("\n\n")[2].count("?") > 1:
        yield "two questions at once"
    if item.heading.type == "choose_all" and not SEVERAL.search(item.stem):
        yield "does not say that several answers may be right"


def main_idea(item: Item) -> Found:
    """HDR 15."""
    if len(item.stem.split()) < FEWEST_WORDS:
        yield "the stem says too little"


def dressing(item: Item) -> Found:
    """HDR 16."""
    said = SENTENCE_END.split(item.stem.strip())
    if len(said) > MOST_SENTENCES:
        yield f"{len(said)} sentences"
    if len(set(said)) < len(said):
        yield "a sentence stands twice"


def positive_stem(item: Item) -> Found:
    """HDR 17."""
    if NEGATIVE.search(item.stem):
        yield item.stem[:80]


def none_of_these(item: Item) -> Found:
    """HDR 25."""
    yield from _sweeping(item, NONE_OF)


def all_of_these(item: Item) -> Found:
    """HDR 26."""
    yield from _sweeping(item, ALL_OF)


def _sweeping(item: Item, said: re.Pattern[str]) -> Found:
    for text in _texts(item):
        if said.search(text):
            yield text


def positive_answers(item: Item) -> Found:
    """HDR 27."""
    for text in _texts(item):
        if NEGATIVE_OPTION.search(text):
            yield text


def no_jokes(item: Item) -> Found:
    """HDR 31."""
    for text in (item.stem, *_texts(item)):
        if "!" in text:
            yield text[:80]


def _texts(item: Item) -> list[str]:
    return [option.text for option in item.options]
