"""Ability that moves while people practise: a random walk with a drift between responses.

For practice only. An assessment takes its abilities from its own responses and frozen parameters
(`ability.eap`), as if ability stood still while it lasts.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from trainer.core.measurement.ability import STEP, STEP_PRIOR, Ability, after_each
from trainer.core.measurement.priors import Difficulty
from trainer.core.measurement.response_model import Floats

SD_CEILING = 1.0
"""Nobody becomes less known than a stranger."""
NARROWEST = 1e-3
BEGIN_GAIN = 0.01
LOG_SPREAD_SD = log(2)
"""How unsure the judged spreads are: a factor of two, up or down."""


@dataclass(frozen=True, slots=True)
class Growth:
    """How ability moves [theta]: `gain` and its `sd` after each response that was explained,
    and `sd_day` for each day that passes (it adds no gain: some forget, some see clients)."""

    gain: float
    sd: float
    sd_day: float = 0.0


STILL = Growth(0.0, 0.0)
"""Nothing moves."""
JUDGED = Growth(0.0, 0.08, 0.05)
"""Before anything was found out: answers must show each gain, nobody is flattered by time spent.
The spreads are judged: half a standard deviation in 40 answers, or in 100 days."""


@dataclass(frozen=True, slots=True)
class Practised:
    """One practice response: right or not, the family's parameters, days since the one before."""

    right: bool
    family: Difficulty
    days: float = 0.0


def rested(ability: Ability, days: float, growth: Growth) -> Ability:
    """What is known after days without practice: the same mean, less surely."""
    sd = sqrt(ability.sd**2 + max(days, 0.0) * growth.sd_day**2)
    return replace(ability, sd=min(sd, max(SD_CEILING, ability.sd)))


def taught(ability: Ability, growth: Growth) -> Ability:
    """What is known after a response was explained: a little abler, a little less surely."""
    sd = sqrt(ability.sd**2 + growth.sd**2)
    return Ability(ability.mean + growth.gain, min(sd, max(SD_CEILING, ability.sd)))


def followed(steps: Sequence[Practised], growth: Growth, start: Ability | None = None) -> Ability:
    """Ability after a row of practice responses: for each, time passes, it is answered, it teaches.

    References
    ----------
    Kalman 1960, Journal of Basic Engineering 82 (predict and correct); Glickman 1999, Applied
    Statistics 48 (a random walk of ability under logistic responses); Owen 1975 (the step).
    """
    known = start or Ability()
    for step in steps:
        known = rested(known, step.days, growth)
        known = taught(after_each([known], step.right, step.family)[0], growth)
    return known


@dataclass(frozen=True, slots=True)
class Rows:
    """Many people's practice, side by side: (people, responses) each, padded where it ends.

    `marks`: 1 right, 0 wrong, -1 none; `a`, `b`, `floor`: of the family answered; `days` since
    the response before.
    """

    marks: NDArray[np.int8]
    a: Floats
    b: Floats
    floor: Floats
    days: Floats


def rows_of(practised: Sequence[Sequence[Practised]]) -> Rows:
    """Rows of people's practice, a row a person. Raises ValueError without people."""
    if not practised:
        raise ValueError("nobody")
    shape = len(practised), max(map(len, practised))
    rows = Rows(np.full(shape, -1, np.int8), np.ones(shape), *(np.zeros(shape) for _ in range(3)))
    for place, steps in enumerate(practised):
        for at, one in enumerate(steps):
            rows.marks[place, at] = one.right
            rows.a[place, at], rows.b[place, at] = one.family.slope, one.family.b
            rows.floor[place, at], rows.days[place, at] = one.family.floor, one.days
    return rows


def log_likelihood(rows: Rows, growth: Growth) -> float:
    """Log probability of all responses, each predicted from those before it.

    Every prediction takes what is known so far as normal (61 points within 5 SD), as `ability`.
    """
    people = len(rows.marks)
    mean, sd, total = np.zeros(people), np.ones(people), 0.0
    for place in range(rows.marks.shape[1]):
        said = rows.marks[:, place]
        given = said >= 0
        spread = np.sqrt(sd**2 + rows.days[:, place] * growth.sd_day**2)
        theta = mean[:, None] + spread[:, None] * STEP
        a, b, floor = (part[:, place, None] for part in (rows.a, rows.b, rows.floor))
        p = floor + (1 - floor) / (1 + np.exp(-a * (theta - b)))
        weight = STEP_PRIOR * np.where(said[:, None] == 1, p, 1 - p)
        size = weight.sum(axis=1)
        middle = (weight * theta).sum(axis=1) / size
        square = (weight * (theta - middle[:, None]) ** 2).sum(axis=1) / size
        total += float(np.log(size[given] / STEP_PRIOR.sum()).sum())
        mean = np.where(given, middle + growth.gain, mean)
        sd = np.where(given, np.sqrt(square + growth.sd**2), sd)
    return total


def estimate_growth(rows: Rows) -> Growth:
    """The gain and spread a response, and the spread a day, that predict the responses best.

    Families' parameters stay as they are. `sd_day` stays 0 where no time passed. The mode of the
    likelihood times a prior of each spread, lognormal about the judged one: a few hundred people
    cannot tell a small spread from none, and with none intervals are too narrow. The gain has no
    prior: with the families' true parameters it is found without lean. Raises ValueError without
    responses.

    References
    ----------
    Chung, Rabe-Hesketh, Dorie, Gelman & Liu 2013, Psychometrika 78 (modes that keep spreads off 0).
    """
    if not (rows.marks >= 0).any():
        raise ValueError("no responses")
    timed = bool((rows.days > 0).any())

    judged = np.log([JUDGED.sd, JUDGED.sd_day][: 1 + timed])

    def growth(at: Floats) -> Growth:
        return Growth(float(at[0]), exp(at[1]), exp(at[2]) if timed else 0.0)

    def loss(at: Floats) -> float:
        apart = (at[1:] - judged) / LOG_SPREAD_SD
        return float(apart @ apart) / 2 - log_likelihood(rows, growth(at))

    best = minimize(
        loss,
        np.array([BEGIN_GAIN, *judged]),
        method="Nelder-Mead",
        options={"xatol": NARROWEST, "fatol": NARROWEST, "maxiter": 400},
    )
    return growth(best.x)
