"""British words in American spelling, at the edge, when words are shown. Nothing kept changes."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.core.knowledge.bank import Bank

Spelling = Literal["british", "american"]
SPELLINGS: tuple[Spelling, ...] = ("british", "american")
TABLE = "en/american"
NAMES = "also_names"
WORD = re.compile(r"\w+")
ADDRESS = re.compile(r"@|://|^/|\w[.:_]\w")
CAPITAL_NEXT = re.compile(r"\s+(?:(?:&amp;|&|and|of)\s+)?[^\W\d_a-z]")
BETWEEN = " \t\r\n“‘\"'(’"
OPENS = ".:!?…·›"


def american_words(bank: Bank) -> Mapping[str, str]:
    """British spelling -> American, in lower case; empty where the bank brings no table."""
    found: dict[str, str] = {}
    for group in bank.wording.get(TABLE, {}).values():
        found |= group
    return found


def respelling(bank: Bank) -> "Respelling":
    """The bank's table, ready to use."""
    names = bank.wording.get(TABLE, {}).get(NAMES, {})
    return Respelling(american_words(bank), frozenset(names))


@dataclass(frozen=True)
class Respelling:
    """A table of words, ready to use: whole words only, the case of each kept.

    Addresses and ids stay. So do names: screens are written in sentence case, so a word with a
    capital inside a sentence is part of one, and one of `names` before another capital as well.
    """

    words: Mapping[str, str]
    names: frozenset[str] = frozenset()

    def of(self, text: str) -> str:
        """The text in American spelling; one that is so already comes back as it is."""
        return WORD.sub(self._one, text)

    def _one(self, found: re.Match[str]) -> str:
        word = found.group()
        low = word.lower()
        new = self.words.get(low)
        if new is None or _in_address(found.string, *found.span()):
            return word
        if word == low:
            return new
        if word.isupper():
            return new.upper()
        if is_name(found.string, *found.span(), low in self.names):
            return word
        return new[:1].upper() + new[1:]


def _in_address(text: str, start: int, end: int) -> bool:
    """Whether the word is part of an address, a file's name or an id."""
    first = max((text.rfind(gap, 0, start) for gap in " \t\r\n(<"), default=-1) + 1
    ends = [text.find(gap, end) for gap in " \t\r\n)>"]
    last = min((one for one in ends if one >= 0), default=len(text))
    return ADDRESS.search(text[first:last]) is not None


def is_name(text: str, start: int, end: int, may_begin: bool = True) -> bool:
    """Whether a word with a capital stands where only a name has one.

    `may_begin`: the word may be the first of a name, so another capital after it tells.
    """
    before = text[:start].rstrip(BETWEEN)
    opens = not before or before[-1] in OPENS
    return not opens or (may_begin and CAPITAL_NEXT.match(text, end) is not None)
