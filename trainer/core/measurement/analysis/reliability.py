"""How far a total score can be trusted: alpha and its error, and what length would do."""

from dataclasses import dataclass

import numpy as np
from scipy.stats import f

from trainer.core.measurement.analysis.classical import checked, right_or_wrong
from trainer.core.measurement.response_model import Floats

ROUNDING = 1e-9
"""A total whose variance is a smaller share of its items' does not vary but by rounding."""


@dataclass(frozen=True, slots=True)
class Reliability:
    """Internal consistency of a table of marks.

    `alpha` with its standard error and `interval` (95 %), `kr20`, `kr21`, `standardised` alpha
    from correlations, `sem`: standard error of measurement [raw points], `sd` of the totals
    (n - 1), `mean` of the totals, `if_dropped`: (items,) alpha without each item (NaN where only
    one would be left).
    """

    people: int
    mean: float
    sd: float
    alpha: float
    alpha_se: float
    interval: tuple[float, float]
    kr20: float
    kr21: float
    standardised: float
    sem: float
    if_dropped: Floats


def reliability(marks: Floats) -> Reliability:
    """Reliability of the total of marks (people, items) of 0 and 1, complete rows.

    alpha = k / (k - 1) (1 - sum of item variances / variance of the total), variances with
    n - 1; KR-20 the same with population variances; KR-21 = k / (k - 1) (1 - m (k - m) / (k s2));
    sem = sd sqrt(1 - alpha). NaN where the totals do not vary.

    Raises
    ------
    ValueError : As `classical.right_or_wrong`.

    References
    ----------
    Cronbach 1951, Psychometrika 16; Kuder & Richardson 1937, Psychometrika 2. The standard error
    is that of `alpha_se`, the interval that of `feldt_interval`.
    """
    people, k = right_or_wrong(marks).shape
    covariance = np.cov(marks, rowvar=False)
    total = marks.sum(axis=1)
    mean, variance = float(total.mean()), float(total.var(ddof=1))
    population = float(total.var())
    alpha = _alpha(covariance)
    kr21 = k / (k - 1) * (1 - mean * (k - mean) / (k * population)) if population else np.nan
    p = marks.mean(axis=0)
    kr20 = k / (k - 1) * (1 - float((p * (1 - p)).sum()) / population) if population else np.nan
    return Reliability(
        people=people,
        mean=mean,
        sd=float(np.sqrt(variance)),
        alpha=alpha,
        alpha_se=alpha_se(marks),
        interval=feldt_interval(alpha, people, k),
        kr20=kr20,
        kr21=kr21,
        standardised=_standardised(covariance),
        sem=float(np.sqrt(variance * (1 - alpha))),
        if_dropped=_if_dropped(covariance),
    )


def alpha_se(marks: Floats) -> float:
    """Standard error of alpha from marks (people, items), whatever their distribution.

    The spread over people of alpha's derivative: with deviations d from the items' means,
    t = sum d^2 and s = (sum d)^2 of each person, T and S their means, it is
    k / (k - 1) (T s / S^2 - t / S), divided by sqrt(people).

    Raises
    ------
    ValueError : As `classical.checked`.

    References
    ----------
    Maydeu-Olivares, Coffman & Hartmann 2007, Psychological Methods 12. For normal marks it is
    that of Duhachek & Iacobucci 2004, `normal_alpha_se`.
    """
    people, k = checked(marks).shape
    apart = marks - marks.mean(axis=0)
    own, of_total = (apart**2).sum(axis=1), apart.sum(axis=1) ** 2
    total = float(of_total.mean())
    if total <= ROUNDING * own.mean():
        return float("nan")
    influence = k / (k - 1) * (own.mean() * of_total / total**2 - own / total)
    return float(influence.std(ddof=1) / np.sqrt(people))


def normal_alpha_se(covariance: Floats, people: int) -> float:
    """Standard error of alpha for normal marks, from the items' covariance matrix V (k, k).

    Q = 2 k^2 / ((k - 1)^2 s^3) (s (tr V^2 + tr(V)^2) - 2 tr(V) j'V^2 j), s = j'V j;
    the error is sqrt(Q / people). About a tenth too small for five easy right/wrong items.

    References
    ----------
    van Zyl, Neudecker & Nel 2000, Psychometrika 65; Duhachek & Iacobucci 2004, Journal of
    Applied Psychology 89.
    """
    k = covariance.shape[0]
    total = float(covariance.sum())
    if total <= ROUNDING * np.trace(covariance):
        return float("nan")
    squared = covariance @ covariance
    trace = float(np.trace(covariance))
    inner = total * (float(np.trace(squared)) + trace**2) - 2 * trace * float(squared.sum())
    q = 2 * k**2 / ((k - 1) ** 2 * total**3) * inner
    return float(np.sqrt(max(q, 0.0) / people))


def feldt_interval(
    alpha: float, people: int, items: int, level: float = 0.95
) -> tuple[float, float]:
    """Interval for alpha from the F distribution of (1 - true) / (1 - found).

    Degrees of freedom people - 1 and (people - 1)(items - 1). Exact for parallel normal parts; NaN
    for NaN. Raises ValueError for fewer than two people or items, or a level outside (0, 1).

    References
    ----------
    Feldt 1965, Psychometrika 30; Feldt, Woodruff & Salih 1987, Applied Psychological
    Measurement 11.
    """
    if min(people, items) < 2 or not 0 < level < 1:  # noqa: PLR2004
        raise ValueError(f"{people=}, {items=}, {level=}")
    tail, d1, d2 = (1 - level) / 2, people - 1, (people - 1) * (items - 1)
    return (
        float(1 - (1 - alpha) * f.ppf(1 - tail, d1, d2)),
        float(1 - (1 - alpha) * f.ppf(tail, d1, d2)),
    )


def lengthened(reliability_now: float, times: float) -> float:
    """Reliability of a test made `times` as long with parallel items: n r / (1 + (n - 1) r).

    `times` > 0 (below 1: shortened), a reliability from 0 to below 1. Raises ValueError otherwise:
    a coefficient below 0 is no share of variance.

    References
    ----------
    Spearman 1910 and Brown 1910, British Journal of Psychology 3.
    """
    if not (times > 0 and 0 <= reliability_now < 1):
        raise ValueError(f"{times=}, {reliability_now=}")
    return times * reliability_now / (1 + (times - 1) * reliability_now)


def _alpha(covariance: Floats) -> float:
    k, total = covariance.shape[0], float(covariance.sum())
    if total <= ROUNDING * np.trace(covariance):
        return float("nan")
    return float(k / (k - 1) * (1 - np.trace(covariance) / total))


def _standardised(covariance: Floats) -> float:
    """From the mean correlation r of those items that vary: k r / (1 + (k - 1) r).

    NaN where the items cancel each other out.
    """
    sd = np.sqrt(np.diag(covariance))
    varies = sd > 0
    k = int(varies.sum())
    if k < 2:  # noqa: PLR2004 a correlation needs two
        return float("nan")
    correlation = covariance[np.ix_(varies, varies)] / np.outer(sd[varies], sd[varies])
    r = (float(correlation.sum()) - k) / (k * (k - 1))
    whole = 1 + (k - 1) * r
    return k * r / whole if whole > ROUNDING else float("nan")


def _if_dropped(covariance: Floats) -> Floats:
    """alpha of the other items, for each item, from sums alone."""
    k = covariance.shape[0] - 1
    own = np.diag(covariance)
    if k < 2:  # noqa: PLR2004 alpha needs two
        return np.full(own.shape, np.nan)
    total = covariance.sum() - 2 * covariance.sum(axis=0) + own
    rest = np.trace(covariance) - own
    with np.errstate(divide="ignore", invalid="ignore"):
        out = k / (k - 1) * (1 - rest / total)
    return np.where(total > ROUNDING * np.maximum(rest, ROUNDING), out, np.nan)
