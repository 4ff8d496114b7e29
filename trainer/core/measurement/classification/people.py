"""The people a form is judged over: abilities on a grid, with normal weights."""

import numpy as np

from trainer.core.measurement.response_model import Floats

SPAN, POINTS = 5.0, 161
"""Equally spaced abilities on [-5, 5]."""
NARROWEST, LEAST = 0.25, 2


def abilities(mean: float = 0.0, sd: float = 1.0, points: int = POINTS) -> tuple[Floats, Floats]:
    """Abilities and their weights, which add up to 1: normal(mean, sd) on 161 points.

    The points reach 5 standard deviations both ways; with an even number nobody stands exactly at
    the mean. Raises ValueError unless sd > 0.
    """
    if not sd > 0:
        raise ValueError(f"{sd=}")
    steps = np.linspace(-SPAN, SPAN, points)
    weights = np.exp(-(steps**2) / 2)
    return mean + sd * steps, weights / weights.sum()


def spread(estimates: Floats, errors: Floats) -> tuple[float, float]:
    """Mean and standard deviation of true abilities behind estimates with known errors.

    Parameters
    ----------
    estimates, errors : (people,) ability estimates and their standard errors [theta], at least two

    The variance of the estimates less the mean squared error; never below 0.25 squared.

    Raises
    ------
    ValueError : If there are fewer than two people, or lengths differ.

    References
    ----------
    Lord & Novick 1968, Statistical Theories of Mental Test Scores, ch. 3 (observed = true + error).
    """
    if len(estimates) < LEAST or len(estimates) != len(errors):
        raise ValueError(f"{len(estimates)=}, {len(errors)=}")
    variance = float(estimates.var(ddof=1) - (errors**2).mean())
    return float(estimates.mean()), max(variance, NARROWEST**2) ** 0.5
