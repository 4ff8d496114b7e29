"""What is wrong with one item: (guideline, finding) pairs. See `audit` for the guidelines."""

import re
from collections.abc import Callable, Iterator

from trainer.core.items.item import Item
from trainer.core.items.registry import type_of
from trainer.core.items.types.consultation import key_lines
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve import resolve

Found = Iterator[tuple[str, str]]
SWEEPING = re.compile(r"\b(all|none) of (the above|these|them)\b", re.IGNORECASE)
NEGATIVE = re.compile(r"\bNOT\b|\bEXCEPT\b|[Ww]hich (?:is|are) not\b")
BROKEN = re.compile(r"\{\{|\}\}|\{%|\bNone\b|  |\s[.,;?]|\.\.|,,|\?\.|\.\?")
ARTICLE = re.compile(
    r"\b[Aa] [aeiou](?!ni|ne|se|ti)\w+|\b[Aa]n [bcdfgjklmnpqrstvwxyz]\w+", re.IGNORECASE
)
ABSOLUTE = re.compile(r"\b(always|never|only|must|completely|impossible)\b", re.IGNORECASE)
FEWEST_WORDS = 6


def item_findings(bank: Bank, item: Item) -> list[tuple[str, str]]:
    """Everything wrong with an item by itself."""
    return [pair for look in LOOKS for pair in look(bank, item)]


def _type(bank: Bank, item: Item) -> Found:
    for fault in type_of(item).faults(item):
        yield "HDR 18, 19: one right answer, plausible others", fault


def _words(bank: Bank, item: Item) -> Found:
    texts = [item.stem, item.explanation, *(option.text for option in item.options)]
    for text in texts:
        broken = BROKEN.search(text)
        if broken or not text.strip():
            yield "HDR 12: correct grammar and spelling", f"broken words in {text[:60]!r}"
    if len(item.stem.split()) < FEWEST_WORDS:
        yield "HDR 15: put the idea in the stem", "the stem says too little"
    if "?" not in item.stem and item.stem[-1] not in ".:":
        yield "HDR 12: correct grammar and spelling", "the stem does not end"


def _articles(bank: Bank, item: Item) -> Found:
    for text in (item.stem, *(option.text for option in item.options)):
        slip = ARTICLE.search(text)
        if slip and not _spoken_otherwise(slip.group()):
            yield "HDR 12: correct grammar and spelling", f"article: {slip.group()!r}"


def _spoken_otherwise(slip: str) -> bool:
    word = slip.split()[1].casefold()
    return word.startswith(("one", "use", "uni", "usual", "eu", "hour", "honest", "heir"))


def _sweeping(bank: Bank, item: Item) -> Found:
    for option in item.options:
        if SWEEPING.search(option.text):
            yield "HDR 25, 26: no 'all' or 'none of the above'", option.text
    if NEGATIVE.search(item.stem):
        yield "HDR 17: no negative stem", item.stem[:80]


def _cues(bank: Bank, item: Item) -> Found:
    """A word that only the wrong answers have gives them away."""
    if item.heading.type != "choose_one":
        return
    absolute = {o.id: bool(ABSOLUTE.search(o.text)) for o in item.options}
    wrong = [name for name in absolute if name not in item.key]
    if len(wrong) > 1 and all(absolute[name] for name in wrong) and not absolute[item.key[0]]:
        yield "HDR 28a: no specific determiners", "only the wrong answers are absolute"


def _knowledge(bank: Bank, item: Item) -> Found:
    if not item.facts:
        yield "design 4.1: facts carry everything", "rests on no fact"
    for name in item.facts:
        fact = bank.facts.get(name)
        if fact is None:
            yield "design 4.1: facts carry everything", f"unknown fact {name}"
        elif not fact.may_key:
            yield "design 4.1: nothing unconfirmed is keyed", name
    if item.critical and not any(
        bank.facts[n].may_key_critical for n in item.facts if n in bank.facts
    ):
        yield "design 4.1: weak sources key nothing critical", ", ".join(item.facts)
    for wrong, belief in item.misconceptions.items():
        if belief not in bank.misconceptions:
            yield "design 4.4: distractors teach", f"{wrong} hangs on unknown {belief}"


def _givens(bank: Bank, item: Item) -> Found:
    """The key is reached again from givens, facts, rules and procedures alone."""
    reached = resolve(bank, item)
    if reached is None:
        yield "design 8: givens are enough", "no way to reach the key"
    elif reached != sorted(right_texts(item)):
        yield "design 4.2: keys are computed", f"reached {reached} from the givens"


def right_texts(item: Item) -> list[str]:
    """The key in words that do not depend on letters."""
    if item.heading.type == "put_in_order":
        text = {option.id: option.text for option in item.options}
        return [f"{text[a]} > {text[b]}" for a, b in item.key["pairs"]]
    if item.heading.type == "consultation":
        return key_lines(item.key)
    if item.heading.type == "number":
        return [f"{item.key['value']:g}"]
    if item.heading.type == "date":
        return [str(item.key)]
    return [option.text for option in item.options if option.id in item.key]


LOOKS: tuple[Callable[[Bank, Item], Found], ...] = (
    _type,
    _words,
    _articles,
    _sweeping,
    _cues,
    _knowledge,
    _givens,
)
