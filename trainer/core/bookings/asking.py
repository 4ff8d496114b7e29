"""Which words to ask the salon about: those that several bookings share.

A client's name stands in one booking, the name of the work in many. So what several bookings say
is offered as a rule's words; of a booking that stands alone nothing is offered, and the salon
types the words itself.
"""

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from trainer.core.bookings.matching import MOST_WORDS, WORD, Words, words_of, words_of_all

PARTED = re.compile(
    r"[\s:;,|/()\[\]]"  # what can part, first, so that nearly every letter is passed at once
    r"(?:(?<=\s)(?:[-\u2013\u2014]+|with)\s|(?<=[:;,|/()\[\]\n])[:;,|/()\[\]\n]*)"
)
LONGEST_RUN = 5  # words that are tried together


@dataclass(frozen=True)
class Group:
    """Bookings to be asked about at once: the words they share, '' where one stands alone.

    `places` are places in the list that was asked about; `example` is the first one's text.
    """

    words: str
    example: str
    places: Sequence[int]


Part = tuple[str, Words]
"""A part of a title, and its words as rules compare them."""


class _Read(dict[str, Words]):
    """A text -> its words, each read once; let go with the answer, for clients' names are in it."""

    def read(self, texts: Iterable[str]) -> None:
        """Read many at once, which is quicker."""
        self.update(words_of_all(texts))

    def __missing__(self, text: str) -> Words:
        self[text] = found = words_of(text)
        return found


def grouped(
    texts: Mapping[int, str], *, whole: bool = False, aside: Collection[str] = ()
) -> Sequence[Group]:
    """Put texts that say the same thing together.

    Parameters
    ----------
    texts : Place of a booking -> what it says; texts without a word are left out.
    whole : The texts name only work or staff (a column of their own), so each is one as it stands.
    aside : Words of the team's names: a part made of these alone says nothing of work.

    Returns
    -------
    Groups, the largest first; every place once.
    """
    words = _Read()
    shared = _whole(texts, words) if whole else _parts(texts, aside, words)
    groups: dict[Words, list[int]] = {}
    alone: list[Group] = []
    for place, text in texts.items():
        if place in shared:
            groups.setdefault(words[shared[place]], []).append(place)
        elif WORD.search(text):
            alone.append(Group("", text, (place,)))
    made = [Group(shared[all_[0]], texts[all_[0]], tuple(all_)) for all_ in groups.values()]
    return sorted(made, key=lambda one: (-len(one.places), words[one.words])) + alone


def _whole(said: Mapping[int, str], words: _Read) -> dict[int, str]:
    words.read(said.values())
    return {place: text for place, text in said.items() if 0 < len(words[text]) <= MOST_WORDS}


def _parts(said: Mapping[int, str], aside: Collection[str], words: _Read) -> dict[int, str]:
    """The part of each text that says the work, where others say it too.

    A title has few kinds of work and many clients, so the work stands at the place with the fewest
    different parts. What stands elsewhere counts only if it is known as work from there.
    """
    split = {place: PARTED.split(text) for place, text in said.items()}
    words.read(chain.from_iterable(split.values()))
    say = _saying(words, frozenset(aside))
    told = {place: [say[one] for one in all_ if one in say] for place, all_ in split.items()}
    parts = {place: found for place, found in told.items() if found}
    order = _places_by_variety(parts.values())
    telling = [next((one for one in order if one < count), 0) for count in range(len(order) + 1)]
    main = {place: found[telling[len(found)]] for place, found in parts.items()}
    counts = Counter([key for _, key in main.values()])
    work = {key for key, count in counts.items() if count > 1}
    chosen = {}
    for place, (part, key) in main.items():
        if key not in work:
            part = next((part for part, key in parts[place] if key in work), "")
        if part:
            chosen[place] = part
    return chosen | _runs({place: main[place][0] for place in parts.keys() - chosen.keys()})


def _places_by_variety(parts: Collection[Sequence[Part]]) -> list[int]:
    """Places in a title, that with the fewest different parts for its number first."""
    longest = max(map(len, parts), default=0)
    variety = []
    for place in range(longest):
        there = [found[place][1] for found in parts if len(found) > place]
        variety.append(len(set(there)) / len(there))
    return sorted(range(longest), key=lambda place: (variety[place], place))


def _saying(words: Mapping[str, Words], names: frozenset[str]) -> Mapping[str, Part]:
    """Of parts with their words, those that may say the work."""
    return {
        part: (part.strip(), key)
        for part, key in words.items()
        if len(key) <= MOST_WORDS and not names.issuperset(key)
    }


def _runs(said: Mapping[int, str]) -> dict[int, str]:
    runs = {place: _runs_of(text) for place, text in said.items()}
    counts = Counter(key for found in runs.values() for key in found)
    chosen = {}
    for place in sorted(runs):
        worth = {key: counts[key] * len(key) ** 2 for key in runs[place] if counts[key] > 1}
        if worth:
            chosen[place] = runs[place][max(worth, key=lambda key: (worth[key], key))]
    return chosen


def _runs_of(text: str) -> dict[Words, str]:
    """Every run of up to five words -> as it is written."""
    found = [(one.start(), one.end()) for one in WORD.finditer(text)]
    runs = {}
    for first in range(len(found)):
        for last in range(first, min(first + LONGEST_RUN, len(found))):
            written = text[found[first][0] : found[last][1]]
            runs[words_of(written)] = written
    return runs
