"""Which words to ask the salon about: those that several bookings share.

A client's name stands in one booking, the name of the work in many. So what several bookings say
is offered as a rule's words; of a booking that stands alone nothing is offered, and the salon
types the words itself.
"""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trainer.core.bookings.matching import MOST_WORDS, WORD, words_of

PARTED = re.compile(r"\s[-\u2013\u2014]+\s|[:;,|/()\[\]\n]+|\swith\s")
LONGEST_RUN = 5  # words that are tried together


@dataclass(frozen=True)
class Group:
    """Bookings to be asked about at once: the words they share, '' where one stands alone.

    `places` are places in the list that was asked about; `example` is the first one's text.
    """

    words: str
    example: str
    places: Sequence[int]


def grouped(texts: Mapping[int, str], *, whole: bool = False) -> Sequence[Group]:
    """Put texts that say the same thing together.

    Parameters
    ----------
    texts : Place of a booking -> what it says; texts without a word are left out.
    whole : The texts name only work or staff (a column of their own), so each is one as it stands.

    Returns
    -------
    Groups, the largest first; every place once.
    """
    said = {place: text for place, text in texts.items() if words_of(text)}
    shared = _whole(said) if whole else _parts(said)
    groups: dict[tuple[str, ...], list[int]] = {}
    alone: list[Group] = []
    for place, text in said.items():
        words = shared.get(place, "")
        if words:
            groups.setdefault(words_of(words), []).append(place)
        else:
            alone.append(Group("", text, (place,)))
    made = [Group(shared[all_[0]], said[all_[0]], tuple(all_)) for all_ in groups.values()]
    return sorted(made, key=lambda one: (-len(one.places), words_of(one.words))) + alone


def _whole(said: Mapping[int, str]) -> dict[int, str]:
    return {place: text for place, text in said.items() if len(words_of(text)) <= MOST_WORDS}


def _parts(said: Mapping[int, str]) -> dict[int, str]:
    """The part of each text that most others share; then runs of words, where no part is shared."""
    parts = {place: _split(text) for place, text in said.items()}
    counts = Counter(key for found in parts.values() for key in {words_of(one) for one in found})
    chosen = {}
    for place, found in parts.items():
        best = max(found, key=lambda one: counts[words_of(one)])
        if counts[words_of(best)] > 1:
            chosen[place] = best
    return chosen | _runs({place: said[place] for place in said.keys() - chosen.keys()})


def _split(text: str) -> list[str]:
    found = [part.strip() for part in PARTED.split(text)]
    return [part for part in found if 0 < len(words_of(part)) <= MOST_WORDS] or [""]


def _runs(said: Mapping[int, str]) -> dict[int, str]:
    runs = {place: _runs_of(text) for place, text in said.items()}
    counts = Counter(key for found in runs.values() for key in found)
    chosen = {}
    for place in sorted(runs):
        worth = {key: counts[key] * len(key) ** 2 for key in runs[place] if counts[key] > 1}
        if worth:
            chosen[place] = runs[place][max(worth, key=lambda key: (worth[key], key))]
    return chosen


def _runs_of(text: str) -> dict[tuple[str, ...], str]:
    """Every run of up to five words -> as it is written."""
    found = [(one.start(), one.end()) for one in WORD.finditer(text)]
    runs = {}
    for first in range(len(found)):
        for last in range(first, min(first + LONGEST_RUN, len(found))):
            written = text[found[first][0] : found[last][1]]
            runs[words_of(written)] = written
    return runs
