"""How far two observers of the same work agree, beyond what chance would bring."""

from dataclasses import dataclass
from typing import Literal

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
    kappa = (p_o - p_e) / (1 - p_e): p_o the share judged alike, p_e what the margins would bring
    by chance. None where both observers gave one answer alone. In words: above 0.6 well, above 0.4
    somewhat, else poorly (Landis & Koch's 'substantial' and 'moderate'); under 30 criteria too few
    to say.

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
    alike = (both + neither) / n
    first, second = both + first_only, both + second_only
    chance = (first * second + (n - first) * (n - second)) / n**2
    kappa = None if chance >= 1 else (alike - chance) / (1 - chance)
    return Agreement(n, alike, kappa, _words(n, kappa))


def _words(n: int, kappa: float | None) -> Words:
    if n < FEW:
        return "too_few"
    if kappa is None:
        return "all_alike"
    if kappa > WELL:
        return "well"
    return "somewhat" if kappa > SOMEWHAT else "poorly"
