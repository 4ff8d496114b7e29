"""What is known of an ability: a mean and a standard deviation, from all or from one response."""

from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import dataclass
from math import erf, sqrt
from typing import Literal

import numpy as np
from scipy.special import expit, logsumexp

from trainer.core.measurement.evidence import NOT_GIVEN, ROWS, Marks, from_marks
from trainer.core.measurement.one_thread import one_thread
from trainer.core.measurement.posterior import Grid, curves, moments, ready
from trainer.core.measurement.priors import Difficulty
from trainer.core.measurement.response_model import Floats, check

Band = Literal["unknown", "below", "near", "above"]
SPAN, POINTS = 6.0, 121
"""Grid of the prior N(0, 1): exact to rounding while posterior SDs are above 0.08; with 33 points
on [-4, 4] a mean is off by up to 0.01."""
STEP = np.linspace(-5.0, 5.0, 61)
STEP_PRIOR = np.exp(-(STEP**2) / 2)
"""Grid of one step, in standard deviations, and the normal density there (not scaled)."""
SD_FLOOR = 0.25
"""Below this no posterior falls: ability moves while people learn, and difficulties are
themselves uncertain."""
SURE = 0.9
WIDE = 0.8
"""A posterior wider than this says too little: nearly as wide as the N(0, 1) it began as."""


@dataclass(frozen=True, slots=True)
class Ability:
    """Posterior mean and standard deviation [theta, N(0, 1)]; before any response 0 and 1."""

    mean: float = 0.0
    sd: float = 1.0


def grid() -> Floats:
    """The points on which posteriors from N(0, 1) are taken: (121,), -6..6."""
    return np.linspace(-SPAN, SPAN, POINTS)


def eap(
    responses: Floats | Marks, a: Floats, b: Floats, floor: Floats, points: Floats
) -> tuple[Floats, Floats]:
    """Expected a posteriori ability and posterior SD, prior N(0, 1).

    Parameters
    ----------
    responses : (people, families); 1 right, 0 wrong, NaN (or -1 among int8) not given
    a, b, floor : (families,), as `response_model.probability`
    points : (points,), increasing

    Returns
    -------
    mean, sd : (people,) [theta]. A person without responses gets 0 and 1.

    Raises
    ------
    ValueError : If the shapes do not fit, nobody or no family is there, a mark is anything else, or
        as `response_model.check`.

    References
    ----------
    Bock & Mislevy 1982, Applied Psychological Measurement 6.
    """
    if responses.ndim != 2 or responses.shape[1:] != a.shape:  # noqa: PLR2004 a matrix
        raise ValueError(f"{responses.shape=}, {a.shape=}")
    check(a, b, floor)
    log_density = -(points**2) / 2
    on = Grid(points, log_density - logsumexp(log_density))
    evidence = from_marks(_marks(responses))
    at = ready(curves(a, -a * b, floor, on), on, evidence.precision)
    mean, sd = np.empty(evidence.people), np.empty(evidence.people)
    with one_thread() if evidence.people > ROWS else nullcontext():
        for part, right, given in evidence.parts():
            mean[part], sd[part] = moments(right, given, at)
    return mean, sd


def _marks(responses: Floats | Marks) -> Marks:
    if responses.dtype == np.int8:
        return responses.astype(np.int8, copy=False)
    marks = np.full(responses.shape, NOT_GIVEN, np.int8)
    marks[responses == 0] = 0
    marks[responses == 1] = 1
    if np.count_nonzero(marks == NOT_GIVEN) > np.count_nonzero(np.isnan(responses)):
        raise ValueError("a response is neither 1 nor 0 nor missing")
    return marks


def after(before: Ability, right: bool, family: Difficulty) -> Ability:
    """The ability after one more response: `after_each` for one."""
    return after_each([before], right, family)[0]


def after_each(before: Sequence[Ability], right: bool, family: Difficulty) -> list[Ability]:
    """Several abilities of one person (whole method, its topic) after one more response.

    Each stored posterior is taken as normal, multiplied by the likelihood of the response on a
    grid of 61 points within 5 standard deviations, and its first two moments are kept. The SD
    never falls below 0.25. An uncertain difficulty flattens the slope (`Difficulty.slope`).
    Within 0.1 of `eap` for slopes up to 1 and six responses; steeper families can put it 0.4 off,
    so decisions rest on `eap`.

    References
    ----------
    Owen 1975, Journal of the American Statistical Association 70 (normal approximation, one
    response at a time); Bock & Mislevy 1982 (moments on a grid).
    """
    theta = np.array([[one.mean] for one in before]) + np.array([[one.sd] for one in before]) * STEP
    z = family.slope * (theta - family.b)
    missed = (1 - family.floor) * expit(-z)
    weight = STEP_PRIOR * (family.floor + (1 - family.floor) * expit(z) if right else missed)
    weighted = weight * theta
    total, first = weight.sum(axis=1), weighted.sum(axis=1)
    second = (weighted * theta).sum(axis=1)
    return [
        _ability(m / n, s / n)
        for n, m, s in zip(total.tolist(), first.tolist(), second.tolist(), strict=True)
    ]


def _ability(mean: float, of_squares: float) -> Ability:
    return Ability(mean, max(sqrt(max(of_squares - mean**2, 0.0)), SD_FLOOR))


def chance_above(ability: Ability, standard: float) -> float:
    """Probability that the ability (SD > 0) is at or above the standard, 0..1: normal posterior."""
    return 0.5 * (1 + erf((ability.mean - standard) / (ability.sd * sqrt(2))))


def band(ability: Ability, standard: float) -> Band:
    """Where an ability stands against a standard.

    'above' or 'below' when at least 90 % sure, 'unknown' while the posterior is hardly narrower
    than before any response, else 'near'.
    """
    chance = chance_above(ability, standard)
    if ability.sd > WIDE:
        return "unknown"
    if chance >= SURE:
        return "above"
    return "below" if chance <= 1 - SURE else "near"
