"""How hard a text is to read."""

import re
from functools import lru_cache

import readability
from readability.langdata import LANGDATA

SENTENCE_END = re.compile(r"([.?!:])\s+")
TOKEN = re.compile(r"[\w'-]+|[.?!,:;]")
SPOKEN = re.compile(r"[^\W_]")


def grade(text: str) -> float:
    """Flesch-Kincaid grade of a text (Kincaid and others 1975), at least 0.

    A sentence ends at a stop, a question, a shout or a colon. Formula and syllables are the
    library's.
    """
    lines = SENTENCE_END.sub(r"\1\n", text.replace("\n", " ")).split("\n")
    sentences = [tokens for tokens in map(TOKEN.findall, lines) if tokens]
    words = [token for tokens in sentences for token in tokens if SPOKEN.search(token)]
    if not words:
        return 0.0
    spoken = sum(map(_syllables, words))
    return max(0.0, float(readability.KincaidGradeLevel(spoken, len(words), len(sentences))))


@lru_cache(maxsize=8192)
def _syllables(word: str) -> int:
    return int(LANGDATA["en"]["syllables"](word))
