"""Letters that begin a part of a name, as they are typed at a desk: without accents or marks."""

import re
from functools import lru_cache
from unicodedata import combining, normalize

MARKS = re.compile(r"['’`´ʼ]")
APART = re.compile(r"[\s\-‐‑–]+")
WHOLE = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ı": "i", "æ": "ae", "œ": "oe"})
"""Letters that Unicode does not take apart."""


class Typed:
    """Letters that are looked for, made ready once for many names."""

    def __init__(self, typed: str) -> None:
        self._sought = f" {_plain(typed, '')}"

    def begin(self, name: str) -> bool:
        """Tell whether they begin a part of a name.

        'zoe' and 'ZOË' begin a part of Zoë O’Brien, and so do 'ob', "o'b" and 'brien'.
        """
        return self._sought in _told(name)


@lru_cache(maxsize=16_384)
def _told(name: str) -> str:
    """Its parts with apostrophes left out, and with each of them parting it, a line each."""
    whole = f" {_plain(name, '')}"
    return f"{whole}\n {_plain(name, ' ')}" if MARKS.search(name) else whole


def _plain(text: str, mark: str) -> str:
    bare = text
    if not text.isascii():
        bare = "".join(one for one in normalize("NFKD", text) if not combining(one))
    return APART.sub(" ", MARKS.sub(mark, bare).casefold().translate(WHOLE)).strip()
