"""Items of one family are siblings: are they all equally hard?"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import expit
from scipy.stats import chi2

from trainer.core.measurement.response_model import WIDEST, Floats

LEAST_RESPONSES = 2


@dataclass(frozen=True, slots=True)
class Variation:
    """How much siblings of a family differ in difficulty.

    `sd`: estimated standard deviation of their difficulty [logits; divide by the slope for
    theta], 0 where chance explains everything. `q` with `df` degrees of freedom and `p_value`
    test 'all equally hard'. `shifts`: sibling -> how much easier (+) or harder (-) [logits].
    `siblings`: how many had at least two responses; others say nothing and are left out.
    """

    sd: float
    q: float
    df: int
    p_value: float
    siblings: int
    shifts: dict[str, float]


def expected_right(ability: Floats, right: Floats, floor: float) -> Floats:
    """What is expected of each response if its whole family had one difficulty.

    Parameters
    ----------
    ability : (responses,) ability of who answered [theta]
    right : (responses,) 1 right, 0 wrong
    floor : chance of a right guess, 0 <= floor < 1

    Returns
    -------
    (responses,): floor + (1 - floor) / (1 + exp(-(ability - b))), with b such that the mean is the
    share that was right.

    Raises
    ------
    ValueError : If there are none, the share right is at or below guessing, or all are right.
    """
    if not len(right):
        raise ValueError("no responses")
    share = float(right.mean())
    if not floor < share < 1:
        raise ValueError(f"{share=}, {floor=}")

    def expected(b: float) -> Floats:
        return np.asarray(floor + (1 - floor) * expit(ability - b))

    widest = WIDEST + float(np.abs(ability).max())
    return expected(float(brentq(lambda b: expected(b).mean() - share, -widest, widest)))


def variation(right: Floats, expected: Floats, sibling: Sequence[str]) -> Variation:
    """Test siblings for equal difficulty, and estimate how far they differ.

    Parameters
    ----------
    right : (responses,) 1 right, 0 wrong
    expected : (responses,) probability of a right response if the family were all one
        difficulty: from ability and the family's parameters; in (0, 1)
    sibling : (responses,) which sibling was answered (its seed, or its content)

    A sibling's shift is one Newton step of its log odds, d = (right - expected) / V with
    V = sum p (1 - p). Q = sum V (d - mean d)^2 is chi-square with siblings - 1 degrees of freedom
    when all are equal; its excess gives the variance between siblings, never below 0. With one
    common probability Q is Pearson's chi-square of right against sibling.

    Raises
    ------
    ValueError : If lengths differ, a response is neither 0 nor 1, an expectation is not inside
        (0, 1), or fewer than two siblings have two responses.

    References
    ----------
    DerSimonian & Laird 1986, Controlled Clinical Trials 7 (variance between groups); item models
    whose siblings vary: Glas & van der Linden 2003, Applied Psychological Measurement 27.
    """
    if not len(right) == len(expected) == len(sibling):
        raise ValueError(f"{len(right)=}, {len(expected)=}, {len(sibling)=}")
    if not ((expected > 0) & (expected < 1)).all():
        raise ValueError("an expectation lies outside (0, 1)")
    if not ((right == 0) | (right == 1)).all():
        raise ValueError("a response is neither 0 nor 1")
    names, place, count = np.unique(np.asarray(sibling), return_inverse=True, return_counts=True)
    kept = count >= LEAST_RESPONSES
    weight = np.bincount(place, expected * (1 - expected))[kept]
    shift = np.bincount(place, right - expected)[kept] / weight
    df = len(weight) - 1
    if df < 1:
        raise ValueError("fewer than two siblings have two responses")
    common = float(weight @ shift / weight.sum())
    q = float(weight @ (shift - common) ** 2)
    spare = weight.sum() - (weight**2).sum() / weight.sum()
    return Variation(
        sd=float(np.sqrt(max(0.0, (q - df) / spare))),
        q=q,
        df=df,
        p_value=float(chi2.sf(q, df)),
        siblings=len(weight),
        shifts=dict(zip(names[kept].tolist(), (shift - common).tolist(), strict=True)),
    )
