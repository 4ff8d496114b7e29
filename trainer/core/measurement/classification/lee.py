"""Accuracy and consistency of decisions on the raw score, from item parameters."""

from collections.abc import Sequence

import numpy as np

from trainer.core.measurement.classification.outcome import (
    Classification,
    PassFail,
    classification,
    rising,
    shares,
)
from trainer.core.measurement.response_model import Floats, probability


def score_distribution(p: Floats) -> Floats:
    """Distribution of the raw score at each ability.

    Parameters
    ----------
    p : (points, items), probability of a right response

    Returns
    -------
    (points, items + 1); rows add up to 1.

    References
    ----------
    Lord & Wingersky 1984, Applied Psychological Measurement 8.
    """
    out = np.zeros((p.shape[0], p.shape[1] + 1))
    out[:, 0] = 1.0
    for item in range(p.shape[1]):
        right = p[:, [item]]
        out[:, 1 : item + 2] = out[:, 1 : item + 2] * (1 - right) + out[:, : item + 1] * right
        out[:, 0] *= 1 - right[:, 0]
    return out


def classify(
    theta: Floats, weights: Floats, a: Floats, b: Floats, floor: Floats, cuts: Sequence[float]
) -> Classification:
    """Accuracy and consistency over two or more classes cut on the raw score.

    Parameters
    ----------
    theta, weights : (points,) abilities, and shares of people that add up to 1
    a, b, floor : (items,) as `response_model.probability`
    cuts : raw cuts in rising order; a score at or above reaches the class, a person belongs in
        it whose expected score is above the cut

    Raises
    ------
    ValueError : As `response_model.probability`, `outcome.rising` and `outcome.shares`.

    References
    ----------
    Lee 2010, Journal of Educational Measurement 47.
    """
    classes, belongs = _classes(theta, a, b, floor, cuts)
    return classification(weights, classes, belongs)


def pass_fail(
    theta: Floats,
    weights: Floats,
    a: Floats,
    b: Floats,
    floor: Floats,
    cut: float,
    true_cut: float | None = None,
) -> PassFail:
    """The four shares under one raw cut. Parameters, errors, reference as `classify`.

    `true_cut`: the expected score above which somebody is able, where that is not the raw cut: a
    cut that was set as an ability asks a form for a whole number near it.
    """
    weights = shares(weights)
    classes, belongs = _classes(theta, a, b, floor, (cut,))
    if true_cut is not None:
        _, belongs = _classes(theta, a, b, floor, (true_cut,))
    passes, able = classes[:, 1], belongs == 1
    return PassFail(
        pass_pass=float(weights[able] @ passes[able]),
        fail_fail=float(weights[~able] @ (1 - passes[~able])),
        false_pass=float(weights[~able] @ passes[~able]),
        false_fail=float(weights[able] @ (1 - passes[able])),
        consistency=float(weights @ (passes**2 + (1 - passes) ** 2)),
        marginal=float(weights @ passes),
    )


def _classes(
    theta: Floats, a: Floats, b: Floats, floor: Floats, cuts: Sequence[float]
) -> tuple[Floats, np.ndarray[tuple[int], np.dtype[np.intp]]]:
    """Probability of each class at each ability, and the class that each ability belongs in."""
    edges, p = rising(cuts), probability(theta, a, b, floor)
    score_class = np.searchsorted(edges, np.arange(p.shape[1] + 1), side="right")
    member = (score_class[:, None] == np.arange(len(cuts) + 1)).astype(float)
    belongs = np.searchsorted(edges, p.sum(axis=1), side="left")
    return score_distribution(p) @ member, belongs
