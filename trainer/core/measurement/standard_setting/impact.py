"""Who would have passed: a cut tried on sittings that are over."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.response_model import Floats


@dataclass(frozen=True, slots=True)
class Step:
    """One cut tried: `cut`, how many of `people` reach it, and their `share` (0..1)."""

    cut: float
    passing: int
    people: int

    @property
    def share(self) -> float:
        """Share that would pass; 0 where there is nobody."""
        return self.passing / self.people if self.people else 0.0


def impact(scores: Floats, needed: Floats, cuts: Sequence[float]) -> list[Step]:
    """How many would pass at each of several cuts.

    Parameters
    ----------
    scores : (people,) raw scores
    needed : (people, cuts) raw score that each person's own form needs at each cut
    cuts : what the cuts are called, in order

    Raises
    ------
    ValueError : If shapes do not fit.

    References
    ----------
    Impact data in a panel: Reid 1991, Educational Measurement: Issues and Practice 10.
    """
    if needed.shape != (len(scores), len(cuts)):
        raise ValueError(f"{needed.shape=}, {len(scores)} people, {len(cuts)} cuts")
    passing = (np.asarray(scores)[:, None] >= needed).sum(axis=0)
    return [Step(cut, int(n), len(scores)) for cut, n in zip(cuts, passing, strict=True)]
