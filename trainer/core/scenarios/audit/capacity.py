"""How many cases a family holds, seen and unseen."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, floor, log, log10, sqrt

Z = 1.959964
"""Of the normal distribution, for an interval of 95 %."""


@dataclass(frozen=True, slots=True)
class Capacity:
    """Contents among some items: how many were seen, and how many there may be.

    `once`, `twice`: contents seen once, twice. `estimated` >= `distinct`; `low`, `high`: its
    approximate 95 % interval.
    """

    items: int
    distinct: int
    once: int
    twice: int
    estimated: float
    low: float
    high: float
    alike: float

    @property
    def seen_share(self) -> float:
        """The share of a next item's contents that were seen: 1 - once / items (Good 1953)."""
        return 1 - self.once / max(1, self.items)

    @property
    def to_declare(self) -> int:
        """What may be promised: all that were seen, or the low end in two figures if more."""
        return max(self.distinct, two_figures(self.low))


def measured(contents: Iterable[str]) -> Capacity:
    """The capacity behind a sample of contents, by the lower bound of Chao 1984.

    S = D + f1^2 / (2 f2), with D contents seen, f1 of them once, f2 twice: Chao, A. 1984,
    Nonparametric estimation of the number of classes in a population, Scandinavian Journal of
    Statistics 11(4), 265-270. Where f2 = 0: D + f1 (f1 - 1) / 2. Interval: Chao 1987, Biometrics
    43(4), 783-791. `alike` is Simpson's index without bias (Simpson 1949, Nature 163, 688): how
    often two items drawn at random have the same content.
    """
    counts = Counter(contents)
    n, distinct = sum(counts.values()), len(counts)
    once, twice = (sum(count == k for count in counts.values()) for k in (1, 2))
    unseen, variance = _unseen(once, twice)
    low, high = _interval(distinct, unseen, variance)
    pairs = sum(count * (count - 1) for count in counts.values())
    alike = pairs / (n * (n - 1)) if n > 1 else 0.0
    return Capacity(n, distinct, once, twice, distinct + unseen, low, high, alike)


def _unseen(once: int, twice: int) -> tuple[float, float]:
    """Contents not seen, and the variance of that."""
    if twice:
        ratio = once / twice
        variance = twice * (ratio**4 / 4 + ratio**3 + ratio**2 / 2)
        return once**2 / (2 * twice), variance
    unseen = once * (once - 1) / 2
    variance = unseen + once * (2 * once - 1) ** 2 / 4
    whole = unseen + 1
    return unseen, max(0.0, variance - once**4 / (4 * whole)) if unseen else 0.0


def _interval(distinct: int, unseen: float, variance: float) -> tuple[float, float]:
    """Log-normal about the unseen, so that the low end never falls below what was seen."""
    if unseen <= 0 or variance <= 0:
        return float(distinct), distinct + unseen
    spread = exp(Z * sqrt(log(1 + variance / unseen**2)))
    return distinct + unseen / spread, distinct + unseen * spread


def two_figures(value: float) -> int:
    """Rounded down to two figures: 1234 becomes 1200."""
    if value < 1:
        return 0
    unit = 10 ** max(0, floor(log10(value)) - 1)
    return int(value // unit * unit)
