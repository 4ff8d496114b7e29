"""Accuracy and consistency of decisions on the ability estimate, from its standard error."""

from collections.abc import Sequence

import numpy as np
from scipy.special import ndtr

from trainer.core.measurement.classification.outcome import Classification, classification, rising
from trainer.core.measurement.response_model import Floats, information


def classify(
    theta: Floats, weights: Floats, a: Floats, b: Floats, floor: Floats, cuts: Sequence[float]
) -> Classification:
    """Accuracy and consistency over classes cut on ability; errors N(theta, 1 / information).

    Parameters
    ----------
    theta, weights : (points,) abilities, and shares of people that add up to 1
    a, b, floor : (items,) as `response_model.probability`
    cuts : abilities in rising order; at or above reaches the class

    Raises
    ------
    ValueError : As `response_model.probability`, `outcome.rising` and `outcome.shares`.

    References
    ----------
    Rudner 2001 and 2005, Practical Assessment, Research & Evaluation 7(14) and 10(13).
    """
    edges = rising(cuts)
    root = np.sqrt(information(theta, a, b, floor).sum(axis=1))[:, None]
    below = ndtr((edges - theta[:, None]) * root)
    whole = np.ones((len(theta), 1))
    classes = np.diff(np.hstack([0 * whole, below, whole]), axis=1)
    belongs = np.searchsorted(edges, theta, side="right")
    return classification(weights, classes, belongs)
