"""The error of measurement where somebody stands, not on the average."""

import numpy as np

from trainer.core.measurement.response_model import Floats, information, probability


def binomial_error(scores: Floats, items: int) -> Floats:
    """Conditional standard error of a raw score: sqrt(x (k - x) / (k - 1)) [raw points].

    Parameters
    ----------
    scores : (any,) raw scores 0..items
    items : k >= 2

    Raises
    ------
    ValueError : If there are fewer than 2 items, or a score is out of range.

    References
    ----------
    Lord 1955, Educational and Psychological Measurement 15; Lord 1957, same journal 17.
    """
    if items < 2 or not ((scores >= 0) & (scores <= items)).all():  # noqa: PLR2004
        raise ValueError(f"{items=}, {scores=}")
    return np.asarray(np.sqrt(scores * (items - scores) / (items - 1)))


def corrected_error(scores: Floats, items: int, kr20: float, kr21: float) -> Floats:
    """Lord's error times sqrt((1 - KR-20) / (1 - KR-21)): items differ in difficulty.

    Raises ValueError as `binomial_error`, or if a coefficient is 1 or above.

    References
    ----------
    Keats 1957, Educational and Psychological Measurement 17.
    """
    if not (kr20 < 1 and kr21 < 1):
        raise ValueError(f"{kr20=}, {kr21=}")
    return np.asarray(binomial_error(scores, items) * np.sqrt((1 - kr20) / (1 - kr21)))


def ability_error(theta: Floats, a: Floats, b: Floats, floor: Floats) -> Floats:
    """Standard error of an ability estimate: 1 / sqrt(test information) [theta].

    Parameters and errors as `response_model.probability`. Returns (points,); infinite where the
    form says nothing.

    References
    ----------
    Lord 1980, Applications of Item Response Theory, ch. 5.
    """
    with np.errstate(divide="ignore"):
        return np.asarray(1 / np.sqrt(information(theta, a, b, floor).sum(axis=1)))


def score_error(theta: Floats, a: Floats, b: Floats, floor: Floats) -> Floats:
    """Standard error of the raw score at each ability: sqrt(sum P (1 - P)) [raw points].

    Parameters and errors as `response_model.probability`. Returns (points,).

    References
    ----------
    Lord 1980, Applications of Item Response Theory, ch. 4.
    """
    p = probability(theta, a, b, floor)
    return np.asarray(np.sqrt((p * (1 - p)).sum(axis=1)))
