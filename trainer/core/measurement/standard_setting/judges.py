"""Each judge beside the panel: how strict, how consistent."""

from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.analysis.classical import correlations
from trainer.core.measurement.response_model import Floats
from trainer.core.measurement.standard_setting.ratings import check_ratings


@dataclass(frozen=True, slots=True)
class Judge:
    """One judge.

    `severity`: mean rating above (+, stricter) or below the mean of the other judges [share of
    people]. `with_panel`: correlation of the ratings with the others' mean; `with_difficulty`:
    with what the items' difficulty leads to expect (NaN where either does not vary, or nothing is
    known). `apart`: mean distance of a rating from the others' mean.
    """

    severity: float
    with_panel: float
    with_difficulty: float
    apart: float


def judges(ratings: Floats, expected: Floats | None = None) -> list[Judge]:
    """Severity and consistency of each judge.

    Parameters
    ----------
    ratings : (judges, items), 0..1, at least two judges
    expected : (items,) share of people at the cut who would get each right, from its difficulty

    A judge is compared with the others only, so that nobody is compared with themselves.

    Raises
    ------
    ValueError : As `ratings.check_ratings`.

    References
    ----------
    van der Linden 1982, Journal of Educational Measurement 19 (consistency of a judge with the
    items' difficulty); Brandon 2004, Applied Measurement in Education 17.
    """
    check_ratings(ratings)
    count = len(ratings)
    others = (ratings.sum(axis=0) - ratings) / (count - 1)
    with_panel = correlations(ratings.T, others.T)
    if expected is None:
        with_difficulty = np.full(count, np.nan)
    else:
        with_difficulty = correlations(ratings.T, np.asarray(expected)[:, None])
    return [
        Judge(
            severity=float((ratings[n] - others[n]).mean()),
            with_panel=float(with_panel[n]),
            with_difficulty=float(with_difficulty[n]),
            apart=float(np.abs(ratings[n] - others[n]).mean()),
        )
        for n in range(count)
    ]


def most_apart(ratings: Floats, count: int) -> list[int]:
    """Places of the items the judges are least at one about, widest spread first."""
    spread = ratings.max(axis=0) - ratings.min(axis=0)
    order = np.argsort(-spread, kind="stable")[:count]
    return [int(place) for place in order if spread[place] > 0]
