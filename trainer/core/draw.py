"""The only source of chance: the same words give the same draws, on every machine."""

from collections.abc import Sequence
from hashlib import sha256
from struct import Struct
from typing import TypeVar

T = TypeVar("T")
FOUR = Struct(">4Q")
"""A digest of SHA-256 as four whole numbers of 64 bits."""
SPARE_BITS, UNIT = 11, 2.0**-53
NOTHING: list[int] = []
"""What a stream holds before its first draw: shared, since it is never added to."""


class Draw:
    """A stream of draws settled by its words.

    Built on SHA-256 alone, over the words and a counter, 53 bits a draw: it depends on no
    version of any library, and a stream costs no more than what is drawn from it.
    """

    __slots__ = ("_blocks", "_held", "_said")

    def __init__(self, first: str | int, *more: str | int) -> None:
        self._said = "\x1f".join(map(str, (first, *more))) if more else str(first)
        self._blocks, self._held = 0, NOTHING

    def branch(self, word: str | int) -> "Draw":
        """A stream of its own: what it yields does not depend on draws made here."""
        return Draw(f"{self._said}\x1f{word}")

    def fraction(self) -> float:
        """A number in [0, 1)."""
        if not self._held:
            digest = sha256(f"{self._said}\x1e{self._blocks}".encode()).digest()
            self._held = list(FOUR.unpack(digest))
            self._blocks += 1
        return (self._held.pop() >> SPARE_BITS) * UNIT

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
        if not choices:
            raise ValueError("nothing to choose from")
        return choices[int(self.fraction() * len(choices))]

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
            other = int(self.fraction() * (last + 1))
            out[last], out[other] = out[other], out[last]
        return out

    def some(self, choices: Sequence[T], n: int) -> list[T]:
        """n different choices in a random order. Raises ValueError if there are fewer."""
        if n > len(choices):
            raise ValueError(f"{n=} of {len(choices)}")
        return self.shuffled(choices)[:n]
