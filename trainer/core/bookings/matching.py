"""What a booking's words mean in one salon: rules that the salon confirmed once.

A rule is a run of words. It fits a booking that holds the run, whole words only, in either case;
where several fit, the longest counts, because 'tapes removal' says more than 'tapes'. Two of the
same length that say different things fit nothing: the salon is asked again.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from string import ascii_letters, digits
from typing import Literal

Kind = Literal["work", "person"]
WORD = re.compile(r"[^\W_]+(?:['\u2019][^\W_]+)*")
PLAIN_WORD = re.compile(r"[a-z0-9]+(?:'[a-z0-9]+)*")
"""The same in a small text of ASCII letters alone, as most are: found in half the time."""
MARKS = dict.fromkeys(range(128), " ")
LETTERS = {ord(one): one.lower() for one in ascii_letters + digits}
SPACED = MARKS | LETTERS | {ord("\n"): "\n"}
"""ASCII letter -> as words have it; a mark parts words as a blank does, a line stays a line."""
MOST_WORDS = 8  # in one rule

Words = tuple[str, ...]


@dataclass(frozen=True)
class Rule:
    """One rule. `kind` work: `method` and `service`, both '' for work that needs no clearance.

    `kind` person: `person`, '' for a staff name that is nobody of the team.
    """

    id: str
    kind: Kind
    words: Words
    method: str = ""
    service: str = ""
    person: str = ""

    @property
    def meaning(self) -> tuple[str, str, str]:
        """What the rule says; two rules of one meaning never contradict each other."""
        return (self.method, self.service, self.person)


def words_of(text: str) -> Words:
    """Split a text into words as rules compare them.

    Parameters
    ----------
    text : A title or a name, in any script.

    Returns
    -------
    Its words without case, marks between words dropped.
    """
    if text.isascii():
        return tuple(PLAIN_WORD.findall(text.lower()))
    return tuple(WORD.findall(unicodedata.normalize("NFKC", text).casefold()))


def words_of_all(texts: Iterable[str]) -> Iterator[tuple[str, Words]]:
    """Split many texts into words: nearly all of them at once, as the lines of one text.

    Parameters
    ----------
    texts : As for `words_of`.

    Returns
    -------
    Each different text, in any order, with what `words_of` gives for it.
    """
    all_ = set(texts)
    lines = [one for one in all_ if one.isascii() and "'" not in one and "\n" not in one]
    read = "\n".join(lines).translate(SPACED).split("\n")
    split = zip(lines, map(tuple, map(str.split, read)), strict=False)  # no line is read as one
    return chain(split, ((one, words_of(one)) for one in all_.difference(lines)))


class RuleBook(dict[str, Rule | None]):
    """A booking's title or its staff -> the rule that it fits, by all rules of one kind.

    The longest counts; None where none fits or the longest contradict each other. Texts that
    differ only in words of which no rule speaks, such as clients' names, are weighed once.
    """

    def __init__(self, rules: Iterable[Rule], texts: Iterable[str] = ()) -> None:
        """Make ready to look up.

        Parameters
        ----------
        rules : All of one kind; those without a word fit nothing.
        texts : What is looked up for certain; any other text is read when it is asked for.
        """
        super().__init__()
        self._by_first: dict[str, list[tuple[int, Words, Rule]]] = {}
        self._spoken: dict[str, str] = {}
        for rule in sorted(rules, key=lambda one: -len(one.words)):
            if rule.words:
                one = (len(rule.words), rule.words, rule)
                self._by_first.setdefault(rule.words[0], []).append(one)
                self._spoken.update(zip(rule.words, rule.words, strict=True))
        self._alike: dict[tuple[str | None, ...], Rule | None] = {}
        if self._by_first:
            self._take(words_of_all(texts))
        else:
            self.update(dict.fromkeys(texts))

    def __missing__(self, text: str) -> Rule | None:
        if self._by_first:
            self._take([(text, words_of(text))])
        return self.setdefault(text)

    def _take(self, read: Iterable[tuple[str, Words]]) -> None:
        spoken, alike = self._spoken.get, self._alike
        for text, words in read:
            said = tuple(map(spoken, words))
            if said not in alike:
                alike[said] = self._fitting(said)
            self[text] = alike[said]

    def _fitting(self, said: Sequence[str | None]) -> Rule | None:
        """The rule for words; None stands for one of which no rule speaks."""
        longest: list[Rule] = []
        most = 1
        for place, word in enumerate(said):
            for length, run, rule in self._by_first.get(word or "", ()):  # the longest first
                if length < most:
                    break
                if said[place : place + length] == run:
                    longest = [*longest, rule] if length == most else [rule]
                    most = length
        return longest[0] if len({rule.meaning for rule in longest}) == 1 else None


def by_names(people: Mapping[str, str]) -> Sequence[Rule]:
    """Make the rules that need no confirming: a person's own full name.

    Parameters
    ----------
    people : Id -> name.

    Returns
    -------
    One rule a person whose name is more than one word; a namesake contradicts and so fits nothing.
    """
    named = [(person, words_of(name)) for person, name in people.items()]
    return [Rule("", "person", words, person=person) for person, words in named if len(words) > 1]
