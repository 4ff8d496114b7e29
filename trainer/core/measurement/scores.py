"""Ability by other rules than the posterior mean: mode, weighted and plain maximum likelihood."""

from typing import Literal

import numpy as np
from scipy.special import expit

from trainer.core.measurement.evidence import Marks, check_marks
from trainer.core.measurement.response_model import Floats, check

Rule = Literal["map", "wle", "ml"]
REACH = 20.0
"""An ability beyond this is none: the likelihood has no maximum."""
STEPS, CLOSE, LONGEST = 100, 1e-10, 1.0
PEOPLE = 2048


def score(marks: Marks, a: Floats, b: Floats, floor: Floats, rule: Rule) -> tuple[Floats, Floats]:
    """Ability and its standard error, by a rule that needs no grid.

    Parameters
    ----------
    marks : (people, families) of 1 right, 0 wrong, -1 not given
    a, b, floor : (families,), as `response_model.probability`
    rule : `map` the posterior mode under N(0, 1), `wle` weighted likelihood, `ml` maximum
        likelihood

    Returns
    -------
    theta, se : (people,) [theta]. NaN without responses (but `map`: 0 and 1), and for `ml` where
    the likelihood has no maximum: all right, or no more than guessing.

    Raises
    ------
    ValueError : If shapes do not fit, a mark is anything else, or as `response_model.check`.

    Notes
    -----
    The root of the score function S = sum P' (x - P) / (P Q), with -theta added for `map` and
    J / (2 I) for `wle`: J = sum P' P'' / (P Q), I = sum P'^2 / (P Q). Standard errors
    1 / sqrt(I), for `map` 1 / sqrt(I + 1). With floors S can have several roots (Samejima 1973,
    Psychometrika 38); found is the one that Newton's steps from 0 come to.

    References
    ----------
    Lord 1980, Applications of Item Response Theory, ch. 4 and 5; Warm 1989, Psychometrika 54.
    """
    if marks.ndim != 2 or marks.shape[1:] != a.shape:  # noqa: PLR2004 a matrix
        raise ValueError(f"{marks.shape=}, {a.shape=}")
    check(a, b, floor)
    check_marks(marks)
    theta, se = np.empty(len(marks)), np.empty(len(marks))
    for start in range(0, len(marks), PEOPLE):
        part = slice(start, start + PEOPLE)
        theta[part], se[part] = _root(marks[part], (a, b, floor), rule)
    return theta, se


def _root(
    marks: Marks, families: tuple[Floats, Floats, Floats], rule: Rule
) -> tuple[Floats, Floats]:
    """Newton's steps with expected information, kept between the nearest signs."""
    low, high = np.full(len(marks), -2 * REACH), np.full(len(marks), 2 * REACH)
    theta = np.zeros(len(marks))
    for _ in range(STEPS):
        slope, information = _slope(theta, marks, families, rule)
        low, high = np.where(slope > 0, theta, low), np.where(slope < 0, theta, high)
        step = np.divide(slope, information, out=np.zeros_like(slope), where=information > 0)
        following = theta + np.clip(step, -LONGEST, LONGEST)
        outside = (following < low) | (following > high)
        following = np.where(outside, (low + high) / 2, following)
        moved = np.abs(following - theta).max()
        theta = following
        if moved < CLOSE:
            break
    _, information = _slope(theta, marks, families, rule)
    none = (information <= 0) | (np.abs(theta) > REACH)
    if rule == "ml":
        none |= ((marks == 1).sum(axis=1) == 0) | ((marks == 0).sum(axis=1) == 0)
    with np.errstate(divide="ignore"):
        return np.where(none, np.nan, theta), np.where(none, np.nan, 1 / np.sqrt(information))


def _slope(
    theta: Floats, marks: Marks, families: tuple[Floats, Floats, Floats], rule: Rule
) -> tuple[Floats, Floats]:
    """The score function and the information (with the prior's for `map`): (people,) each."""
    a, b, floor = families
    rising = expit(a * (theta[:, None] - b))
    p = floor + (1 - floor) * rising
    pull = np.where(marks >= 0, a * rising / np.maximum(p, np.finfo(float).tiny), 0.0)
    falling = (1 - floor) * (1 - rising)
    slope = (pull * (marks - p)).sum(axis=1)
    information = (pull * a * rising * falling).sum(axis=1)
    if rule == "map":
        return slope - theta, information + 1
    if rule == "wle":
        bend = (pull * a**2 * rising * falling * (1 - 2 * rising)).sum(axis=1)
        half = np.divide(bend, 2 * information, out=np.zeros_like(bend), where=information > 0)
        slope = slope + half
    return slope, information
