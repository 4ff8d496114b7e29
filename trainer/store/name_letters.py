"""Letters that begin a part of a name, as they are typed at a desk: without accents or marks."""

import re
from functools import lru_cache
from unicodedata import combining, normalize

MARKS = re.compile(r"['’`´ʼ]")
APART = re.compile(r"[\s\-‐‑–]+")
WHOLE = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ı": "i", "æ": "ae", "œ": "oe"})
"""Letters that Unicode does not take apart."""


def begins(name: str, letters: str) -> bool:
    """Tell whether letters begin a part of a name.

    'zoe' and 'ZOË' begin a part of Zoë O’Brien, and so do 'ob', "o'b" and 'brien'.
    """
    sought = f" {_plain(letters, '')}"
    return any(sought in told for told in _told(name))


@lru_cache(maxsize=16_384)
def _told(name: str) -> tuple[str, str]:
    """Its parts with apostrophes left out, and with each of them parting it."""
    return f" {_plain(name, '')}", f" {_plain(name, ' ')}"


def _plain(text: str, mark: str) -> str:
    bare = "".join(one for one in normalize("NFKD", text) if not combining(one))
    return APART.sub(" ", MARKS.sub(mark, bare).casefold().translate(WHOLE)).strip()
