"""The people a form is judged over: abilities on a grid, with normal weights."""

import numpy as np

from trainer.core.measurement.response_model import Floats

SPAN, POINTS = 5.0, 161
"""Equally spaced abilities on [-5, 5]."""


def abilities(mean: float = 0.0, sd: float = 1.0) -> tuple[Floats, Floats]:
    """Abilities and their weights, which add up to 1: normal(mean, sd) on 161 points.

    The points reach 5 standard deviations both ways. Raises ValueError unless sd > 0.
    """
    if sd <= 0:
        raise ValueError(f"{sd=}")
    steps = np.linspace(-SPAN, SPAN, POINTS)
    weights = np.exp(-(steps**2) / 2)
    return mean + sd * steps, weights / weights.sum()
