"""What a form's decisions come to: how many right, how many alike, how many each way wrong."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.core.measurement.response_model import Floats

ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class PassFail:
    """Shares of people under one cut, each 0..1.

    `pass_pass`: able and passed; `fail_fail`: not able and not passed; `false_pass`: not able but
    passed; `false_fail`: able but not passed. `consistency`: two forms decide alike;
    `marginal`: share that passes.
    """

    pass_pass: float
    fail_fail: float
    false_pass: float
    false_fail: float
    consistency: float
    marginal: float

    @property
    def accuracy(self) -> float:
        """Share of decisions that are right."""
        return self.pass_pass + self.fail_fail

    @property
    def kappa(self) -> float:
        """Consistency beyond chance: (consistency - chance) / (1 - chance).

        chance = marginal^2 + (1 - marginal)^2; 0 where everybody gets one decision.
        Reference: Swaminathan, Hambleton & Algina 1974, Journal of Educational Measurement 11.
        """
        chance = self.marginal**2 + (1 - self.marginal) ** 2
        return (self.consistency - chance) / (1 - chance) if chance < 1 else 0.0


@dataclass(frozen=True, slots=True)
class Classification:
    """Share of people put where they belong, and put alike by two forms, each 0..1."""

    accuracy: float
    consistency: float


def rising(cuts: Sequence[float]) -> Floats:
    """Cuts as numbers, (cuts,). Raises ValueError unless each is above the last."""
    if not cuts or np.isnan(cuts[0]) or not (np.diff(cuts) > 0).all():
        raise ValueError(f"{cuts=} do not rise")
    return np.asarray(cuts, dtype=float)


def shares(weights: Floats) -> Floats:
    """Weights as they came. Raises ValueError unless they add up to 1."""
    if not abs(float(weights.sum()) - 1) < ROUNDING:
        raise ValueError(f"{weights.sum()=}")
    return weights


def classification(weights: Floats, classes: Floats, belongs: NDArray[np.intp]) -> Classification:
    """Both shares over people of all abilities.

    weights : (points,) shares of people, adding up to 1; classes : (points, classes) chance of
    each; belongs : (points,) the class each belongs in. Raises ValueError as `shares`.
    """
    weights = shares(weights)
    right = classes[np.arange(len(weights)), belongs]
    return Classification(float(weights @ right), float(weights @ (classes**2).sum(axis=1)))
