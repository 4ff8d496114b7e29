"""Accuracy and consistency of decisions from scores and reliability alone."""

from dataclasses import dataclass
from math import floor

import numpy as np
from scipy.special import betainc, betaincinv, betaln
from scipy.stats import beta as betapdf
from scipy.stats import binom

from trainer.core.measurement.classification.outcome import PassFail
from trainer.core.measurement.response_model import Floats

FEWEST, TINY = 1e-12, np.finfo(float).tiny
NODES, GRADE = 300, 5
"""Points either side of the true cut, and how strongly they gather at the ends."""


@dataclass(frozen=True, slots=True)
class TrueScores:
    """True proportions as a four-parameter beta: `low` + (`high` - `low`) Beta(`alpha`, `beta`)."""

    alpha: float
    beta: float
    low: float = 0.0
    high: float = 1.0


def effective_length(
    mean: float, variance: float, reliability: float, least: float, most: float
) -> float:
    """Number of equal right/wrong items that would give scores of this reliability.

    n = ((mean - least)(most - mean) - r variance) / (variance (1 - r)).

    Parameters
    ----------
    mean, variance : of the scores, variance with n - 1, > 0
    reliability : r, in (0, 1)
    least, most : lowest and highest possible score

    Raises
    ------
    ValueError : If a value is out of range.

    References
    ----------
    Livingston & Lewis 1995, Journal of Educational Measurement 32, formula (1).
    """
    if not (0 < reliability < 1 and variance > 0 and least < mean < most):
        raise ValueError(f"{mean=}, {variance=}, {reliability=}, {least=}, {most=}")
    return ((mean - least) * (most - mean) - reliability * variance) / (
        variance * (1 - reliability)
    )


def true_scores(mean: float, variance: float, reliability: float, most: float) -> TrueScores:
    """Beta on [0, 1] with mean mean/most and variance reliability x variance / most^2.

    Raises ValueError if no beta has these moments.
    """
    m, v = mean / most, reliability * variance / most**2
    total = m * (1 - m) / v - 1 if v > 0 else 0.0
    if not (0 < m < 1 and total > 0):
        raise ValueError(f"no beta with {mean=}, {variance=}, {reliability=}, {most=}")
    return TrueScores(m * total, (1 - m) * total)


def from_scores(scores: Floats, reliability: float, cut: float, most: float) -> PassFail:
    """Decisions at a raw cut from observed scores and their reliability.

    Parameters
    ----------
    scores : (people,) raw scores 0..most
    reliability : in (0, 1)
    cut : a score at or above passes; a true proportion at or above cut / most is able
    most : highest possible score

    The scores stand for binomial ones on a form of the effective length, rounded; the cut there is
    that share of it, rounded.

    Raises
    ------
    ValueError : As `effective_length` and `true_scores`.

    References
    ----------
    Livingston & Lewis 1995, Journal of Educational Measurement 32.
    """
    mean, variance = float(scores.mean()), float(scores.var(ddof=1))
    n = _rounded(effective_length(mean, variance, reliability, 0.0, most))
    beta = true_scores(mean, variance, reliability, most)
    return pass_fail(beta, n, _rounded(n * cut / most), cut / most)


def pass_fail(beta: TrueScores, items: int, cut: int, true_cut: float) -> PassFail:
    """The four shares for binomial scores over a beta of true proportions.

    Parameters
    ----------
    beta : the true proportions, within 0..1
    items : binomial trials, >= 1
    cut : a score at or above passes
    true_cut : a proportion at or above is able, 0..1

    Integrated on 300 Gauss-Legendre points either side of the true cut, in the distribution
    function, graded towards both ends: any beta is met to about 1e-9.

    Raises
    ------
    ValueError : If a parameter of the beta is not above 0, or its ends are out of order.
    """
    if not (beta.alpha > 0 and beta.beta > 0 and 0 <= beta.low < beta.high <= 1 and items >= 1):
        raise ValueError(f"{beta=}, {items=}")
    share = min(max((true_cut - beta.low) / (beta.high - beta.low), 0.0), 1.0)
    middle = float(betainc(beta.alpha, beta.beta, share))
    fails, w_fails = _passing(beta, items, cut, 0.0, middle)
    passes, w_passes = _passing(beta, items, cut, middle, 1.0)
    false_pass, pass_pass = float(w_fails @ fails), float(w_passes @ passes)
    alike = float(w_fails @ (fails**2 + (1 - fails) ** 2))
    alike += float(w_passes @ (passes**2 + (1 - passes) ** 2))
    return PassFail(
        pass_pass=pass_pass,
        fail_fail=middle - false_pass,
        false_pass=false_pass,
        false_fail=1 - middle - pass_pass,
        consistency=alike,
        marginal=pass_pass + false_pass,
    )


def _passing(
    beta: TrueScores, items: int, cut: int, start: float, end: float
) -> tuple[Floats, Floats]:
    """Probability of passing at points between two shares of people, and the points' weights."""
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    graded = betainc(GRADE, GRADE, (nodes + 1) / 2)
    at = start + (end - start) * graded
    weights = weights * betapdf.pdf((nodes + 1) / 2, GRADE, GRADE)
    proportion = beta.low + (beta.high - beta.low) * _quantile(beta, at)
    return np.asarray(binom.sf(cut - 1, items, proportion)), weights * (end - start) / 2


def _quantile(beta: TrueScores, share: Floats) -> Floats:
    """The proportion that each share of people lies at or below, by a beta on 0..1.

    For next to nobody by the first term of its series, x^alpha / (alpha B(alpha, beta)): there the
    library's inverse is no number for some parameters.
    """
    area = np.log(np.maximum(share, TINY) * beta.alpha) + betaln(beta.alpha, beta.beta)
    whole = betaincinv(beta.alpha, beta.beta, np.maximum(share, FEWEST))
    return np.asarray(np.where(share < FEWEST, np.exp(area / beta.alpha), whole))


def _rounded(value: float) -> int:
    return floor(value + 0.5)
