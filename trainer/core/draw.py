"""The only source of chance: the same words give the same draws, on every machine."""

import hashlib
import random
from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")


class Draw:
    """A stream of draws settled by its words.

    Built on SHA-256 and `random()` alone: Python promises to keep that sequence between
    versions, but not that of `shuffle`, `choice` or `sample`.
    """

    def __init__(self, *words: str | int) -> None:
        self._said = "\x1f".join(map(str, words))
        self._source: random.Random | None = None

    def branch(self, word: str | int) -> "Draw":
        """A stream of its own: what it yields does not depend on draws made here."""
        return Draw(self._said, word)

    def fraction(self) -> float:
        """A number in [0, 1)."""
        if self._source is None:  # many streams are made only to branch from
            digest = hashlib.sha256(self._said.encode()).digest()
            self._source = random.Random(int.from_bytes(digest, "big"))
        return self._source.random()

    def below(self, n: int) -> int:
        """A whole number in 0..n-1. Raises ValueError if n < 1."""
        if n < 1:
            raise ValueError(f"{n=}")
        return int(self.fraction() * n)

    def between(self, low: int, high: int) -> int:
        """A whole number in low..high, both ends included."""
        return low + self.below(high - low + 1)

    def chance(self, probability: float) -> bool:
        """True with the given probability (0..1)."""
        return self.fraction() < probability

    def one(self, choices: Sequence[T]) -> T:
        """One of the choices, each as likely."""
        return choices[self.below(len(choices))]

    def weighted(self, choices: Sequence[T], weights: Sequence[float]) -> T:
        """One of the choices, as likely as its weight (>= 0, not all 0)."""
        mark = self.fraction() * sum(weights)
        for choice, weight in zip(choices, weights, strict=True):
            mark -= weight
            if mark < 0:
                return choice
        return choices[-1]

    def shuffled(self, choices: Sequence[T]) -> list[T]:
        """All choices in a random order (Fisher and Yates)."""
        out = list(choices)
        for last in range(len(out) - 1, 0, -1):
            other = self.below(last + 1)
            out[last], out[other] = out[other], out[last]
        return out

    def some(self, choices: Sequence[T], n: int) -> list[T]:
        """n different choices in a random order. Raises ValueError if there are fewer."""
        if n > len(choices):
            raise ValueError(f"{n=} of {len(choices)}")
        return self.shuffled(choices)[:n]
