"""Does an item treat two groups of equal ability alike? Mantel and Haenszel's answer."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.stats import chi2

from trainer.core.measurement.analysis.classical import right_or_wrong
from trainer.core.measurement.response_model import Floats

ETS = -2.35
"""Turns a log odds ratio into the delta metric of ETS."""
LEVEL, ONE_SIDED = 0.05, 1.6448536269514722
HALF = 0.5
SMALL, LARGE = 1.0, 1.5
ROUNDS = 50
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Difference:
    """Mantel-Haenszel statistics of every item, each (items,).

    `odds_ratio` > 1 favours the reference group, `se_log_odds`, `delta` = -2.35 ln(odds ratio),
    `chi2` corrected and `p_value`, `chi2_plain` without the correction. NaN where no stratum tells
    the groups apart: nobody to compare, or all alike right or wrong.
    """

    odds_ratio: Floats
    se_log_odds: Floats
    chi2: Floats
    chi2_plain: Floats

    @property
    def delta(self) -> Floats:
        """The difference on ETS's delta scale: below 0 is harder for the focal group."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.asarray(ETS * np.log(self.odds_ratio))

    @property
    def se_delta(self) -> Floats:
        """Standard error of `delta`."""
        return np.asarray(np.abs(ETS) * self.se_log_odds)

    @property
    def p_value(self) -> Floats:
        """Of the corrected chi-square, one degree of freedom."""
        return np.asarray(chi2.sf(self.chi2, 1))

    @property
    def flagged(self) -> Flags:
        """Items whose corrected chi-square is significant at 0.05."""
        return np.asarray(self.p_value < LEVEL)

    def classes(self) -> list[str]:
        """ETS's class of each item: A negligible, B moderate, C large, '' where `delta` is NaN.

        A: not significant at 0.05, or |delta| < 1. C: |delta| >= 1.5 and significantly above 1
        (one-sided 0.05). B: the others.

        References
        ----------
        Zieky 1993, in Holland & Wainer, Differential Item Functioning, ch. 16.
        """
        size = np.abs(self.delta)
        with np.errstate(divide="ignore", invalid="ignore"):
            large = (size >= LARGE) & ((size - SMALL) / self.se_delta > ONE_SIDED)
        negligible = ~self.flagged | (size < SMALL)
        words = np.where(negligible, "A", np.where(large, "C", "B"))
        return list(np.where(np.isnan(self.odds_ratio), "", words).tolist())


def differences(marks: Floats, focal: Flags) -> Difference:
    """Mantel-Haenszel statistics, people matched on the total score with the studied item.

    Parameters
    ----------
    marks : (people, items), complete, 0/1
    focal : (people,) True for the focal group

    Strata with one person or one group drop out by themselves; the correction of 0.5 stops at 0.

    Raises
    ------
    ValueError : As `check_groups`.

    References
    ----------
    Mantel & Haenszel 1959, Journal of the National Cancer Institute 22; Holland & Thayer 1988,
    in Wainer & Braun, Test Validity, ch. 9; standard error: Robins, Breslow & Greenland 1986,
    Biometrics 42.
    """
    check_groups(marks, focal)
    return from_tables(*_tables(marks, focal, marks.sum(axis=1)))


def purified(marks: Floats, focal: Flags) -> Difference:
    """The same, with flagged items left out of the matching score until the flags settle.

    The studied item always stays in its own matching score. Stops after 50 rounds if the flags
    go round in a ring. Parameters and errors as `differences`.

    References
    ----------
    Holland & Thayer 1988; Candell & Drasgow 1988, Applied Psychological Measurement 12.
    """
    found = differences(marks, focal)
    for _ in range(ROUNDS):
        flagged = found.flagged
        found = _matched_without(marks, focal, flagged)
        if (found.flagged == flagged).all():
            break
    return found


def _matched_without(marks: Floats, focal: Flags, left_out: Flags) -> Difference:
    clean = marks[:, ~left_out].sum(axis=1)
    columns = [_tables(marks[:, ~left_out], focal, clean)]
    columns += [
        _tables(marks[:, [item]], focal, clean + marks[:, item])
        for item in np.flatnonzero(left_out)
    ]
    parts = [from_tables(*tables) for tables in columns]
    order = np.concatenate([np.flatnonzero(~left_out), np.flatnonzero(left_out)])
    back = np.argsort(order)
    return Difference(
        *(
            np.concatenate([getattr(part, name) for part in parts])[back]
            for name in ("odds_ratio", "se_log_odds", "chi2", "chi2_plain")
        )
    )


def _tables(marks: Floats, focal: Flags, score: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Right and wrong of reference and focal group: four arrays (strata, items)."""
    _, stratum = np.unique(score, return_inverse=True)
    one = np.ones(len(score))
    member = csr_array((one, (2 * stratum + focal, np.arange(len(score)))))
    member.resize((2 * int(stratum.max()) + 2, len(score)))
    right, people = member @ marks, (member @ one)[:, None]
    out = [table for group in (0, 1) for table in (right[group::2], (people - right)[group::2])]
    return out[0], out[1], out[2], out[3]


def from_tables(a: Floats, b: Floats, c: Floats, d: Floats) -> Difference:
    """From right a and wrong b of the reference, right c and wrong d of the focal group.

    Each (strata, items), counts >= 0; an empty stratum drops out. Where no stratum has anybody on
    one side of the odds ratio, half a person is added to every cell of the strata with both groups:
    the ratio would be 0 or infinite, without an error, and the plainest difference have no class.
    The chi-squares stay as counted.

    References as `differences`; half a person: Haldane 1956, Annals of Human Genetics 20; Gart &
    Zweifel 1967, Biometrika 54.
    """
    odds, error = _odds(a, b, c, d)
    endless = (odds == 0) | np.isinf(odds)
    if endless.any():
        both = (a + b > 0) & (c + d > 0)
        odds[endless], error[endless] = _odds(
            *((cell + HALF * both)[:, endless] for cell in (a, b, c, d))
        )
    n = np.maximum(a + b + c + d, 1.0)
    reference, right = a + b, a + c
    with np.errstate(divide="ignore", invalid="ignore"):
        variance = np.where(
            n > 1, reference * (n - reference) * right * (n - right) / (n**2 * (n - 1)), 0.0
        ).sum(axis=0)
        gap = np.abs((a - reference * right / n).sum(axis=0))
        return Difference(
            odds_ratio=odds,
            se_log_odds=error,
            chi2=np.maximum(gap - HALF, 0.0) ** 2 / variance,
            chi2_plain=gap**2 / variance,
        )


def _odds(a: Floats, b: Floats, c: Floats, d: Floats) -> tuple[Floats, Floats]:
    """The common odds ratio and the standard error of its logarithm: (items,) each."""
    n = np.maximum(a + b + c + d, 1.0)
    r, s, p, q = a * d / n, b * c / n, (a + d) / n, (b + c) / n
    top, bottom = r.sum(axis=0), s.sum(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        log_variance = (
            (p * r).sum(axis=0) / (2 * top**2)
            + (p * s + q * r).sum(axis=0) / (2 * top * bottom)
            + (q * s).sum(axis=0) / (2 * bottom**2)
        )
        return top / bottom, np.sqrt(log_variance)


def check_groups(marks: Floats, focal: Flags) -> None:
    """Raise ValueError as `classical.right_or_wrong`, or unless two groups have somebody each."""
    right_or_wrong(marks)
    if focal.shape != marks.shape[:1] or focal.all() or not focal.any():
        raise ValueError(f"{focal.shape=}: two groups, somebody in each")
