"""Find words in what is known: spelling and endings folded, the words that matched shown."""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import snowballstemmer

WORD = re.compile(r"[^\W_]+(?:[’'][^\W_]+)?")
JOINED = re.compile(r"[^\W_]+(?:-[^\W_]+)+")
Way = tuple[str, ...]
"""Folded words that stand one after the other."""
Asked = tuple[Way, ...]
"""Ways of saying one thing asked for: any of them will do."""


@dataclass(frozen=True, slots=True)
class Passage:
    """Something that can be found. `text` is shown; `beside` is searched with it and shown too.

    `scope`: 'all', 'bonded', a method's id or 'sources'. `chapter`, `page`, `kind` and `id`
    say where it stands in the book. `words`: all its words, folded, with spaces around each.
    """

    kind: str
    id: str
    scope: str
    chapter: str
    page: str
    text: str
    beside: str
    words: str


Pieces = tuple[tuple[str, bool], ...]
"""A text cut up: each piece, and whether it was asked for."""


@dataclass(frozen=True, slots=True)
class Found:
    """A passage with its texts in pieces."""

    passage: Passage
    text: Pieces
    beside: Pieces


@lru_cache(maxsize=16384)
def stem(word: str) -> str:
    """The stem of an English word, by the Snowball project's English rules (Porter 2)."""
    # A stemmer keeps the word it works on: one for each call, so that threads do not meet.
    return str(snowballstemmer.stemmer("english").stemWord(word))


@dataclass(frozen=True)
class Folding:
    """How words are made alike. `american`: stem in British spelling -> in American.

    `skip`: words that nobody asks for. `also`: groups of phrases that mean one thing.
    """

    american: Mapping[str, str]
    skip: frozenset[str] = frozenset()
    also: tuple[Asked, ...] = ()

    def word(self, word: str) -> str:
        """One word without case, accents, spelling and ending."""
        plain = unicodedata.normalize("NFKD", word.casefold().replace("’", "'"))
        bare = "".join(c for c in plain if not unicodedata.combining(c)).removesuffix("'s")
        root = stem(bare)
        return self.american.get(root, root)

    def words(self, text: str) -> str:
        """The folded words of a text, in its order; joined words ('tape-in') also as one."""
        found = [self.word(one) for one in WORD.findall(text)]
        joined = [self.word(one.replace("-", "")) for one in JOINED.findall(text)]
        return f" {' '.join([*found, '.', *joined])} "

    def way(self, phrase: str) -> Way:
        """A phrase as folded words."""
        return tuple(self.word(one) for one in WORD.findall(phrase))

    def asked(self, query: str) -> tuple[Asked, ...]:
        """What a query asks for, each thing with the other ways of saying it."""
        raw = WORD.findall(query.casefold())
        folded = self.way(query.casefold())
        idle = self.skip if any(one not in self.skip for one in raw) else frozenset()
        things: list[Asked] = []
        at = 0
        while at < len(raw):
            group, length = self._phrase(folded[at:])
            if group:
                things.append(group)
            elif raw[at] not in idle:
                things.append((folded[at : at + 1],))
            at += length
        return tuple(things)

    def _phrase(self, words: Way) -> tuple[Asked, int]:
        """The longest known phrase that these words begin with: its group and its length."""
        nothing: tuple[Asked, int] = ((), 1)
        fits = [
            (group, len(way)) for group in self.also for way in group if words[: len(way)] == way
        ]
        return max(fits, key=lambda one: one[1], default=nothing)


def folding(
    american: Mapping[str, str], skip: Iterable[str], groups: Iterable[Sequence[str]]
) -> Folding:
    """A folding from whole words, British -> American, and from phrases as people write them."""
    stems = {stem(british): stem(word) for british, word in american.items()}
    plain = Folding(stems, frozenset(skip))
    also = tuple(tuple(plain.way(phrase) for phrase in group) for group in groups)
    return Folding(stems, plain.skip, also)


def find(folded: Folding, passages: Iterable[Passage], query: str) -> tuple[list[Found], bool]:
    """Passages that hold all that is asked for, and True; or those that hold most, and False."""
    asked = folded.asked(query)
    held = [(one, [w for thing in asked for w in _held(one, thing)]) for one in passages]
    counts = [sum(bool(_held(one, thing)) for thing in asked) for one, _ in held]
    most = max(counts, default=0)
    best = [one for one, count in zip(held, counts, strict=True) if count == most > 0]
    return [_cut(folded, one, ways) for one, ways in best], most in (0, len(asked))


def _held(passage: Passage, thing: Asked) -> list[Way]:
    """The ways of saying it that the passage holds."""
    return [way for way in thing if f" {' '.join(way)} " in passage.words]


def _cut(folded: Folding, passage: Passage, ways: Sequence[Way]) -> Found:
    text, beside = passage.text, passage.beside
    return Found(passage, pieces(folded, text, ways), pieces(folded, beside, ways))


def pieces(folded: Folding, text: str, ways: Sequence[Way]) -> Pieces:
    """A text cut where what was asked for begins and ends; the pieces together are the text."""
    found: list[tuple[str, bool]] = []
    end = 0
    for first, last in sorted(_spans(folded, text, ways)):
        if first < end:
            continue
        found += [(text[end:first], False), (text[first:last], True)]
        end = last
    found.append((text[end:], False))
    return tuple(one for one in found if one[0])


def _spans(folded: Folding, text: str, ways: Sequence[Way]) -> Iterator[tuple[int, int]]:
    words = [(folded.word(one.group()), *one.span()) for one in WORD.finditer(text)]
    for at, (_, first, _) in enumerate(words):
        for way in ways:
            here = words[at : at + len(way)]
            if tuple(word for word, _, _ in here) == way:
                yield first, here[-1][2]
    for one in JOINED.finditer(text):
        if (folded.word(one.group().replace("-", "")),) in ways:
            yield one.span()
