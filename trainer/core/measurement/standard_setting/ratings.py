"""One round of a panel: how many just-good-enough people would get each item right."""

from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.response_model import Floats
from trainer.core.measurement.standard_setting.agreement import intraclass, mean_squares

LEAST_JUDGES = 2


@dataclass(frozen=True, slots=True)
class Round:
    """What a round of modified Angoff comes to, in items of the rated set.

    `judge_cuts`: (judges,) sum of each one's ratings; `item_means`: (items,). `cut`: mean of the
    judges' cuts, with `median`, `sd` (n - 1) and standard error `se` = sd / sqrt(judges).
    Variances of the ratings between judges, between items, and what is left; negative estimates
    are 0. `one_judge`, `panel`: absolute agreement of one judge, and of the panel's mean (NaN
    where nothing varies).
    """

    judge_cuts: Floats
    item_means: Floats
    cut: float
    median: float
    sd: float
    se: float
    var_judge: float
    var_item: float
    var_residual: float
    one_judge: float
    panel: float

    @property
    def share(self) -> float:
        """The cut as a share of the rated items, 0..1."""
        return self.cut / len(self.item_means)

    @property
    def share_se(self) -> float:
        """The standard error of that share."""
        return self.se / len(self.item_means)


def check_ratings(ratings: Floats) -> None:
    """Raise ValueError for fewer than two judges, a rating that is missing or outside 0..1."""
    if ratings.ndim != 2 or len(ratings) < LEAST_JUDGES:  # noqa: PLR2004 a matrix
        raise ValueError(f"{ratings.shape=}: a panel needs two judges")
    if not ((ratings >= 0) & (ratings <= 1)).all():
        raise ValueError("a rating is missing or outside 0..1")


def read_round(ratings: Floats) -> Round:
    """What ratings come to.

    Parameters
    ----------
    ratings : (judges, items), each the share of just-good-enough people who get it right, 0..1;
        at least two judges and two items, complete

    Raises
    ------
    ValueError : If there are fewer, a rating is missing or outside 0..1.

    References
    ----------
    Angoff 1971, in Thorndike, Educational Measurement, 2nd ed.; error of the cut: MacCann &
    Stanley 2004, Practical Assessment, Research & Evaluation 9(5); variance components: Brennan
    & Lockwood 1980, Applied Psychological Measurement 4.
    """
    check_ratings(ratings)
    squares = mean_squares(ratings.T)
    agreement = intraclass(ratings.T)
    cuts = ratings.sum(axis=1)
    sd = float(cuts.std(ddof=1))
    judges, items = ratings.shape
    return Round(
        judge_cuts=cuts,
        item_means=ratings.mean(axis=0),
        cut=float(cuts.mean()),
        median=float(np.median(cuts)),
        sd=sd,
        se=sd / float(np.sqrt(judges)),
        var_judge=max(0.0, (squares.of_judges - squares.residual) / items),
        var_item=max(0.0, (squares.of_targets - squares.residual) / judges),
        var_residual=squares.residual,
        one_judge=agreement.absolute_1,
        panel=agreement.absolute_k,
    )
