"""The JSON-LD contexts of a record: pinned by hash, read from packages, never fetched."""

import json
from functools import lru_cache
from hashlib import sha256
from importlib.metadata import distribution
from pathlib import Path
from typing import Any

CREDENTIALS = "https://www.w3.org/ns/credentials/v2"
OPEN_BADGES = "https://purl.imsglobal.org/spec/ob/v3p0/context-3.0.3.json"

# (package, file in it, SHA-256 of its bytes). The first hash is the one the Recommendation
# prints (W3C Verifiable Credentials Data Model 2.0, appendix B.1).
PINNED = {
    CREDENTIALS: (
        "openvc-core",
        "openvc/proof/contexts/credentials-v2.json",
        "59955ced6697d61e03f2b2556febe5308ab16842846f5b586d7f1f7adec92734",
    ),
    OPEN_BADGES: (
        "openbadgeslib",
        "openbadgeslib/ob3/contexts/ob-v3p0-context-3.0.3.json",
        "3d34f4d4ef1bce691106e63798beb5e7b862ba841423f5ee1e53ab7ddf3bca84",
    ),
}


def checked(url: str, content: bytes) -> dict[str, Any]:
    """Parse a context, once its bytes are the pinned ones.

    Parameters
    ----------
    url : One of the pinned addresses.
    content : The bytes of the context file.

    Returns
    -------
    The parsed context document.

    Raises
    ------
    RuntimeError : If the bytes are not the pinned ones: nothing may be signed or verified then.
    """
    if sha256(content).hexdigest() != PINNED[url][2]:
        raise RuntimeError(f"the installed copy of {url} is not the pinned one")
    document: dict[str, Any] = json.loads(content)
    return document


@lru_cache(maxsize=1)
def open_badges() -> dict[str, dict[str, Any]]:
    """Give the contexts beyond the proof library's own, by address.

    Returns
    -------
    {address: context document}, read once a process from the installed package.

    Raises
    ------
    RuntimeError : If an installed copy is not the pinned one.
    """
    for url in PINNED:
        checked(url, _installed(url))
    return {OPEN_BADGES: checked(OPEN_BADGES, _installed(OPEN_BADGES))}


@lru_cache(maxsize=1)
def words_of_contexts() -> frozenset[str]:
    """Give every text that stands as a value anywhere in the pinned contexts.

    Returns
    -------
    All of them: a name of ours that begins like one could be read as a word of the vocabulary.
    """
    found: set[str] = set()
    waiting: list[Any] = [checked(url, _installed(url)) for url in PINNED]
    while waiting:
        value = waiting.pop()
        if isinstance(value, str):
            found.add(value)
        elif isinstance(value, dict | list):
            waiting.extend(value.values() if isinstance(value, dict) else value)
    return frozenset(found)


def _installed(url: str) -> bytes:
    package, file, _ = PINNED[url]
    return Path(str(distribution(package).locate_file(file))).read_bytes()
