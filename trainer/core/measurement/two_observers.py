"""How far two observers of the same work agree, beyond what chance would bring."""

from dataclasses import dataclass
from math import isnan
from typing import Literal

import numpy as np

from trainer.core.measurement.standard_setting.agreement import kappa

FEW = 30
WELL, SOMEWHAT = 0.6, 0.4
Words = Literal["too_few", "all_alike", "well", "somewhat", "poorly"]


@dataclass(frozen=True, slots=True)
class Agreement:
    """`alike`: share of criteria judged alike, 0..1. `kappa`: at most 1, None where undefined."""

    n: int
    alike: float
    kappa: float | None
    words: Words


def agreement(both: int, first_only: int, second_only: int, neither: int) -> Agreement:
    """Cohen's kappa for two observers and yes or no.

    Parameters
    ----------
    both, first_only, second_only, neither : counts of criteria, ticked by whom; each 0 or more

    Returns
    -------
    Kappa as `standard_setting.agreement` gives it; None where both observers gave one answer
    alone. In words: above 0.6 well, above 0.4 somewhat, else poorly (Landis & Koch's 'substantial'
    and 'moderate'); under 30 criteria too few to say.

    Raises
    ------
    ValueError : If a count is negative.

    References
    ----------
    Cohen 1960, Educational and Psychological Measurement 20; Landis & Koch 1977, Biometrics 33.
    """
    if min(both, first_only, second_only, neither) < 0:
        raise ValueError(f"{both=}, {first_only=}, {second_only=}, {neither=}")
    n = both + first_only + second_only + neither
    if n == 0:
        return Agreement(0, 0.0, None, "too_few")
    table = np.array([[both, first_only], [second_only, neither]], dtype=float)
    found = kappa(table).value
    value = None if isnan(found) else found
    return Agreement(n, (both + neither) / n, value, _words(n, value))


def _words(n: int, value: float | None) -> Words:
    if n < FEW:
        return "too_few"
    if value is None:
        return "all_alike"
    if value > WELL:
        return "well"
    return "somewhat" if value > SOMEWHAT else "poorly"
