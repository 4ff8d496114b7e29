"""Ids settled by a test's name and one word, so that a run can be repeated; tokens never alike."""

from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from itertools import count
from uuid import UUID

from trainer import clock


class Ids:
    """Stands for `uuid4`: the next id of a stream, safe for several threads."""

    def __init__(self, chance: str) -> None:
        self._chance = chance
        self.begin("")

    def begin(self, words: str) -> None:
        """From here on, ids of the stream that these words settle."""
        self._words, self._places = words, count()

    @contextmanager
    def aside(self, words: str) -> Iterator[None]:
        """Another stream's ids for a while."""
        before = self._words, self._places
        self.begin(words)
        yield
        self._words, self._places = before

    def __call__(self) -> UUID:
        said = f"{self._chance}\x1f{self._words}\x1f{next(self._places)}"
        return UUID(bytes=sha256(said.encode()).digest()[:16], version=4)


class Ticking:
    """A signer's clock on which a second passes between any two looks, as it may in life."""

    def __init__(self) -> None:
        self._places = count(int(clock.now().timestamp()))

    def __call__(self) -> int:
        return next(self._places)
