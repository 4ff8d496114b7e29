"""How likely a right response is, given ability: two parameters and a floor for guessing."""

from math import log

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import expit

Floats = NDArray[np.float64]
WIDEST = 40.0
"""Abilities beyond this many standard deviations are not looked for."""


def probability(theta: Floats, a: Floats, b: Floats, floor: Floats) -> Floats:
    """Probability of a right response under the two-parameter logistic model with a floor.

    P = c + (1 - c) / (1 + exp(-a (theta - b))), logistic metric without 1.7.

    Parameters
    ----------
    theta : (points,) abilities [standard deviations of N(0, 1)]
    a : (families,) slopes, > 0
    b : (families,) difficulties [as theta]
    floor : (families,) c, chance of a right guess, 0 <= c < 1

    Returns
    -------
    (points, families), each in [c, 1].

    Raises
    ------
    ValueError : As `check`.

    References
    ----------
    Birnbaum 1968, in Lord & Novick, Statistical Theories of Mental Test Scores, ch. 17 to 20.
    """
    check(a, b, floor)
    return np.asarray(floor + (1 - floor) * expit(a * (np.asarray(theta)[:, None] - b)))


def information(theta: Floats, a: Floats, b: Floats, floor: Floats) -> Floats:
    """Fisher information of each family at each ability.

    I = a^2 (1 - P) / P ((P - c) / (1 - c))^2; with c = 0 this is a^2 P (1 - P). Reckoned as
    a^2 (1 - c) r (1 - r) / (1 + c exp(-z)), r = 1 / (1 + exp(-z)), z = a (theta - b): the same,
    and sound where P rounds to 0 or 1.
    Shapes, ranges and errors as `probability`. Reference: Birnbaum 1968; Lord 1980, ch. 5.
    """
    check(a, b, floor)
    z = a * (np.asarray(theta)[:, None] - b)
    return np.asarray(a**2 * (1 - floor) * expit(z) * expit(-z) * expit(z - log_of(floor)))


def log_of(floor: Floats) -> Floats:
    """ln c of floors c in [0, 1), minus infinity for 0: 1 / (1 + c exp(-z)) = expit(z - ln c)."""
    with np.errstate(divide="ignore"):
        return np.asarray(np.log(floor))


def expected_score(theta: float, a: Floats, b: Floats, floor: Floats) -> float:
    """Expected number of right responses at one ability (the test characteristic curve)."""
    return float(probability(np.array([theta]), a, b, floor).sum())


def ability_for_share(
    share: float, a: Floats, b: Floats, floor: Floats, weights: Floats | None = None
) -> float:
    """The ability whose expected share of right responses is `share`.

    `weights` (families,) > 0: how much each counts; alike where none are given. Raises ValueError
    as `check`, if there are no families, if guessing alone reaches that share, or no ability within
    -40..40 has it.
    """
    check(a, b, floor)
    if not len(a):
        raise ValueError("no families")
    part = np.ones(len(a)) if weights is None else weights
    part = part / part.sum()
    guessed = float(floor @ part)
    if not guessed < share < 1:
        raise ValueError(f"{share=} is not between guessing ({guessed:.2f}) and 1")

    def short_by(theta: float) -> float:
        return float(probability(np.array([theta]), a, b, floor)[0] @ part) - share

    if not short_by(-WIDEST) <= 0 <= short_by(WIDEST):
        raise ValueError(f"no ability within {WIDEST} has the {share=}")
    return float(brentq(short_by, -WIDEST, WIDEST))


def ability_for(share: float, a: float, b: float, floor: float) -> float:
    """The same for one family, in closed form: b + ln((P - c) / (1 - P)) / a.

    Raises ValueError if share is not between floor and 1, or a is not above 0.
    """
    if not (floor < share < 1 and a > 0):
        raise ValueError(f"{share=} is not between {floor=} and 1, or {a=} is not above 0")
    return b + log((share - floor) / (1 - share)) / a


def check(a: Floats, b: Floats, floor: Floats) -> None:
    """Raise ValueError unless shapes fit, all is finite, slopes are above 0, floors in [0, 1)."""
    if a.ndim != 1 or not a.shape == b.shape == floor.shape:
        raise ValueError(f"{a.shape=}, {b.shape=}, {floor.shape=}")
    good = (a > 0) & np.isfinite(a) & np.isfinite(b) & (floor >= 0) & (floor < 1)
    if not good.all():
        at = int(np.flatnonzero(~good)[0])
        raise ValueError(f"family {at}: a={a[at]}, b={b[at]}, floor={floor[at]}")
