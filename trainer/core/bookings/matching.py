"""What a booking's words mean in one salon: rules that the salon confirmed once.

A rule is a run of words. It fits a booking that holds the run, whole words only, in either case;
where several fit, the longest counts, because 'tapes removal' says more than 'tapes'. Two of the
same length that say different things fit nothing: the salon is asked again.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

Kind = Literal["work", "person"]
WORD = re.compile(r"[^\W_]+(?:['\u2019][^\W_]+)*")
PLAIN_WORD = re.compile(r"[a-z0-9]+(?:'[a-z0-9]+)*")
"""The same in a small text of ASCII letters alone, as most are: found in half the time."""
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


class RuleBook(dict[str, Rule | None]):
    """A booking's title or its staff -> the rule that it fits, by all rules of one kind.

    The longest counts; None where none fits or the longest contradict each other. Each text is
    looked at once.
    """

    def __init__(self, rules: Iterable[Rule]) -> None:
        """Make ready to look up.

        Parameters
        ----------
        rules : All of one kind; those without a word fit nothing.
        """
        super().__init__()
        self._by_first: dict[str, list[tuple[int, Words, Rule]]] = {}
        for rule in sorted(rules, key=lambda one: -len(one.words)):
            if rule.words:
                one = (len(rule.words), rule.words, rule)
                self._by_first.setdefault(rule.words[0], []).append(one)

    def __missing__(self, text: str) -> Rule | None:
        self[text] = found = self._fitting(words_of(text)) if self._by_first else None
        return found

    def _fitting(self, said: Words) -> Rule | None:
        longest: list[Rule] = []
        most = 1
        for place, word in enumerate(said):
            if word not in self._by_first:  # as nearly always
                continue
            for length, run, rule in self._by_first[word]:  # the longest first
                if length < most:
                    break
                if said[place : place + length] == run:
                    longest = [*longest, rule] if length == most else [rule]
                    most = length
        if not longest[1:]:  # as nearly always
            return longest[0] if longest else None
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
