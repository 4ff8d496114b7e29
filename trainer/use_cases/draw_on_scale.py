"""An ability or a difficulty beside the standard, as shares of the stretch that drawings show."""

from dataclasses import dataclass

LOWEST, SPAN = -3.0, 6.0
"""The stretch of the scale that a drawing shows [theta]."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a drawing needs, each 0..1: the middle, one SD to both sides, and the standard."""

    low: float
    mid: float
    high: float
    standard: float


def drawn(mean: float, sd: float, standard: float) -> Drawn:
    """What lies beyond the ends of the drawing stands at its end."""
    return Drawn(*(_share(theta) for theta in (mean - sd, mean, mean + sd, standard)))


def _share(theta: float) -> float:
    return max(0.0, min(1.0, (theta - LOWEST) / SPAN))
