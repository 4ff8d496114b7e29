"""From the panel's cut to an ability, and from that ability to each form's raw cut."""

from dataclasses import dataclass
from math import floor as rounded_down

import numpy as np

from trainer.core.measurement.response_model import (
    Floats,
    ability_for_share,
    expected_score,
    probability,
)

ROUNDING = 1e-6
"""A score so little below a whole number is that number: an ability is found to about 1e-9."""
LOWEST, HIGHEST = -4.0, 4.0
"""A common cut beyond these abilities is no cut: nearly all or nearly none would reach it."""


@dataclass(frozen=True, slots=True)
class AbilityCut:
    """The cut as an ability [theta], with its standard error from the judges' spread."""

    ability: float
    se: float


def ability_cut(cut: float, se: float, a: Floats, b: Floats, floor: Floats) -> AbilityCut:
    """The ability whose expected score on the rated items is the panel's cut.

    Parameters
    ----------
    cut, se : the panel's cut and its standard error [items]
    a, b, floor : (items,) as `response_model.probability`

    The error is carried over by the slope of the expected score: se / sum dP/dtheta.

    Raises
    ------
    ValueError : If guessing alone reaches the cut, nobody could, or the ability lies beyond
        -4..4.

    References
    ----------
    Kane 1987, Journal of Educational Measurement 24; Lord 1980, ch. 13 (true-score equating).
    """
    ability = ability_for_share(cut / len(a), a, b, floor)
    if not LOWEST <= ability <= HIGHEST:
        raise ValueError(f"the cut asks for an ability of {ability:.1f}")
    p = probability(np.array([ability]), a, b, floor)[0]
    slope = float((a * (p - floor) * (1 - p) / (1 - floor)).sum())
    return AbilityCut(ability, se / slope)


def whole_cut(cut: float) -> int:
    """The whole number of questions below, at least 1: a broken question counts for the person.

    Rounded to the nearest, a form fails one in six of those half a standard deviation above the
    cut; who is not safe is kept back by critical errors all the same (`tests.benchmarks.cohort`).
    """
    return max(1, rounded_down(cut + ROUNDING))


def raw_cut(ability: float, a: Floats, b: Floats, floor: Floats) -> int:
    """The raw score that a form needs: its expected score at the ability, rounded down.

    Parameters
    ----------
    ability : the common cut [theta]
    a, b, floor : (items,) of the form, as `response_model.probability`

    Returns
    -------
    1..items, rounded as `whole_cut`. Errors as `response_model.probability`.
    """
    return whole_cut(expected_score(ability, a, b, floor))
