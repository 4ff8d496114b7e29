"""Items one by one: how many get each right, and how well it tells people apart."""

import numpy as np

from trainer.core.measurement.response_model import Floats

LEAST_PEOPLE, LEAST_ITEMS = 2, 2


def checked(marks: Floats) -> Floats:
    """The marks as they came, if they are a whole matrix of at least 2 people and 2 items.

    Raises ValueError for another shape, a missing mark, or a mark that is not finite.
    """
    if marks.ndim != 2 or marks.shape[0] < LEAST_PEOPLE or marks.shape[1] < LEAST_ITEMS:  # noqa: PLR2004 a matrix
        raise ValueError(f"{marks.shape=}: at least two people and two items")
    if not np.isfinite(marks).all():
        raise ValueError("classical statistics take complete rows only")
    return marks


def right_or_wrong(marks: Floats) -> Floats:
    """The marks as they came, if they are as `checked` asks and each is 0 or 1: else ValueError."""
    if not np.isin(checked(marks), (0, 1)).all():
        raise ValueError("a mark is neither 0 nor 1")
    return marks


def p_values(marks: Floats) -> Floats:
    """Share of people who got each item right: (people, items) of 0/1 -> (items,), 0..1.

    Raises ValueError as `right_or_wrong`.
    """
    return np.asarray(right_or_wrong(marks).mean(axis=0))


def correlations(marks: Floats, with_scores: Floats) -> Floats:
    """Correlation of each column with a score of its own, or with one score for all.

    Parameters
    ----------
    marks : (people, items)
    with_scores : (people, items) or (people, 1)

    Returns
    -------
    (items,), -1..1; NaN where either does not vary.
    """
    here = marks - marks.mean(axis=0)
    there = with_scores - with_scores.mean(axis=0)
    both = np.sqrt((here**2).sum(axis=0) * (there**2).sum(axis=0))
    flat = both <= np.finfo(float).eps * marks.shape[0]
    return np.where(flat, np.nan, (here * there).sum(axis=0) / np.where(flat, 1.0, both))


def point_biserials(marks: Floats) -> tuple[Floats, Floats]:
    """Correlation of each item with the total score.

    Parameters
    ----------
    marks : (people, items), complete, 0/1

    Returns
    -------
    with_item, with_rest : (items,) the item inside the total, and left out of it. NaN where all
        or none got it right.

    Raises
    ------
    ValueError : As `right_or_wrong`.

    References
    ----------
    Lord & Novick 1968, Statistical Theories of Mental Test Scores, ch. 15; the item left out of
    the total: Henrysson 1963, Psychometrika 28.
    """
    total = right_or_wrong(marks).sum(axis=1, keepdims=True)
    return correlations(marks, total), correlations(marks, total - marks)
