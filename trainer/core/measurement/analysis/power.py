"""How large a difference between two groups has to be, to be seen with the answers there are."""

from math import exp, log

from trainer.core.measurement.analysis.differences import ETS, LARGE, ONE_SIDED, SMALL

TWO_SIDED, FOUR_IN_FIVE = 1.959964, 0.841621
"""Standard normal: 2.5 % above, 80 % below."""
UNSURE = LARGE / (TWO_SIDED + FOUR_IN_FIVE)
"""Largest standard error [delta] with which a difference of 1.5 is significant four times in five,
about 0.54; with a larger one 'no difference found' does not mean that there is none."""


def shown_as_large(error: float) -> float:
    """The true difference [delta, > 0] that comes out as ETS's class C four times in five.

    max(1.5, 1 + 1.645 error) + 0.842 error, where `error` > 0 is the standard error [delta]: the
    bounds of class C (Zieky 1993), and a power of 0.8, the usual one (Cohen 1988, Statistical Power
    Analysis for the Behavioral Sciences, ch. 1). Normal errors are taken; raises ValueError for an
    error not above 0.
    """
    if not error > 0:
        raise ValueError(f"{error=}")
    return max(LARGE, SMALL + ONE_SIDED * error) + FOUR_IN_FIVE * error


def share_beside(share: float, delta: float) -> float:
    """Share right of the group that a question is harder for by `delta` >= 0, 0..1.

    `share`: of the other group, equally able, in (0, 1). The log odds differ by delta / 2.35
    (Holland & Thayer 1988, in Wainer & Braun, Test Validity, ch. 9). Raises ValueError for a share
    out of range or a delta below 0.
    """
    if not (0 < share < 1 and delta >= 0):
        raise ValueError(f"{share=}, {delta=}")
    return 1 / (1 + exp(log(1 / share - 1) - delta / ETS))
