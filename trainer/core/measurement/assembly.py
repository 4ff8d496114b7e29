"""Parallel forms from a pool of families, by integer programming, with a proven gap."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.core.measurement.programme import Row, Solution, row_of, solve
from trainer.core.measurement.requirement import Candidate, Demands, enemy_rows, requirements
from trainer.core.measurement.response_model import Floats
from trainer.core.measurement.shortfalls import Limits, shortfalls

Places = NDArray[np.intp]
MATCHED = 0.05
"""Information at the cut of two parallel forms differs by this share at most."""
UNLIKE = f"information at the cut: no forms lie within {MATCHED:.0%} of each other"
NODES = 20_000
CLOSEST = 1e-6
"""The relative gap that stands for none in a split."""


@dataclass(frozen=True, slots=True)
class Form:
    """Family ids, and information at the cut [1 / theta^2, or the unit it was given in]."""

    families: tuple[str, ...]
    information: float


@dataclass(frozen=True, slots=True)
class Assembled:
    """Forms as alike as can be, or what stands against them.

    `bound`: proven, the least informative form of any such set has no more information.
    `gap`: (bound - least information) / bound. `unmet`: in words, what the pool cannot give;
    then there are no forms.
    """

    forms: tuple[Form, ...]
    bound: float = 0.0
    gap: float = 0.0
    unmet: tuple[str, ...] = ()


def assemble(
    pool: Sequence[Candidate],
    information: Floats,
    demands: Demands,
    forms: int = 1,
    gap: float = 1e-3,
) -> Assembled:
    """Forms that share no family, the smallest information at the cut as large as can be.

    First the families of all forms together are chosen, then split: the sum over the forms
    bounds what the smallest can have. Where the split stays too far below that, all forms are
    chosen at once.

    Parameters
    ----------
    pool : the families there are, ids unlike
    information : (families,) of one item of each at the cut, > 0
    demands : what each form keeps
    forms : >= 1
    gap : relative gap to be proven, >= 0

    Raises
    ------
    ValueError : If the shapes do not fit, an information is not above 0, or there is no form or no
        item to choose.

    References
    ----------
    van der Linden & Boekkooi-Timminga 1989, Psychometrika 54 (maximin model); van der Linden
    2005, Linear Models for Optimal Test Design, ch. 6 (several forms, one big form then split).
    """
    if information.shape != (len(pool),) or forms < 1 or demands.items < 1:
        raise ValueError(f"{information.shape=}, {len(pool)=}, {forms=}, {demands.items=}")
    if not (information > 0).all():
        raise ValueError(f"{information.min()=}")
    limits = Limits(
        tuple(requirements(pool, demands)), tuple(enemy_rows(pool)), len(pool), demands.items
    )
    together = solve(information, limits.rows(forms), gap=gap if forms == 1 else 0.4 * gap)
    if together is None:
        return Assembled((), unmet=shortfalls(limits, forms))
    bound = _whole(information, together.bound / forms)
    chosen = _split(information, limits.rows(), np.flatnonzero(together.x), forms, gap / 2)
    found = _assembled(pool, information, chosen, bound) if chosen else None
    if found and found.gap <= gap and _matched(found):
        return found
    return _all_at_once(pool, information, limits, forms, gap, bound)


def _split(
    information: Floats, rows: Sequence[Row], chosen: Places, forms: int, gap: float
) -> list[Places] | None:
    """Take one form after the other from the chosen families, each near their mean."""
    out, left = [], chosen
    for more in range(forms - 1, 0, -1):
        one = _nearest_mean(information[left], _within(rows, left), more, gap)
        if one is None:
            return None
        out.append(left[one])
        left = left[~one]
    return [*out, left]


def _nearest_mean(
    information: Floats, rows: Sequence[Row], more: int, gap: float
) -> NDArray[np.bool_] | None:
    """A form whose rest serves `more` forms, its information nearest the mean of all.

    The last column stands for the larger of the form's information and its mirror image.
    """
    mean = float(information.sum()) / (more + 1)
    near = [
        row_of(np.append(information, -1.0), most=0.0),
        row_of(np.append(information, 1.0), least=2 * mean),
    ]
    rest = [_rest(row, more) for row in rows]
    worth = np.append(np.zeros(len(information)), -1.0)
    most = np.append(np.ones(len(information)), 2 * mean)
    gap = max(gap, CLOSEST)
    found = solve(worth, [*rows, *rest, *near], most=most, free=1, gap=gap, nodes=NODES)
    return None if found is None else found.x[:-1] > 0


def _rest(row: Row, more: int) -> Row:
    """The row on what is left for `more` forms, said of the form that is taken."""
    total = float(row.amounts.sum())
    return Row(row.columns, row.amounts, total - row.most * more, total - row.least * more)


def _whole(information: Floats, bound: float) -> float:
    """Whole numbers add up to whole numbers."""
    whole = bool((information == np.round(information)).all())
    return float(np.floor(bound + CLOSEST)) if whole else bound


def _within(rows: Sequence[Row], left: Places) -> list[Row]:
    """The rows on the families that are left alone."""
    out = []
    for row in rows:
        inside = np.isin(row.columns, left)
        columns = np.searchsorted(left, row.columns[inside])
        out.append(Row(columns, row.amounts[inside], row.least, row.most))
    return out


def _all_at_once(
    pool: Sequence[Candidate],
    information: Floats,
    limits: Limits,
    forms: int,
    gap: float,
    bound: float,
) -> Assembled:
    """The maximin model itself: a column for each family and form, and one for the smallest."""
    size = len(pool)
    rows, alike = [row.shifted(form * size) for form in range(forms) for row in limits.rows()], []
    once = np.arange(size)
    rows += [
        Row(np.array([one + form * size for form in range(forms)]), np.ones(forms), 0.0, 1.0)
        for one in once
    ]
    smallest = forms * size
    for form in range(forms):
        columns = np.append(once + form * size, smallest)
        rows.append(Row(columns, np.append(information, -1.0), 0.0, np.inf))
        alike.append(Row(columns, np.append(information, -1.0 - MATCHED), -np.inf, 0.0))
    worth = np.append(np.zeros(smallest), 1.0)
    most = np.append(np.ones(smallest), bound)
    found: Solution | None = solve(worth, [*rows, *alike], most=most, free=1, gap=gap, nodes=NODES)
    if found is None:
        unlike = solve(0 * worth, rows, most=most, free=1, nodes=NODES)
        return Assembled((), unmet=(UNLIKE,) if unlike else shortfalls(limits, forms))
    taken = found.x[:-1].reshape(forms, size) > 0
    return _assembled(
        pool, information, [np.flatnonzero(one) for one in taken], min(bound, found.bound)
    )


def _assembled(
    pool: Sequence[Candidate], information: Floats, chosen: Sequence[Places], bound: float
) -> Assembled:
    made = tuple(
        Form(tuple(pool[one].id for one in form), float(information[form].sum())) for form in chosen
    )
    least = min(form.information for form in made)
    return Assembled(made, bound, max(0.0, (bound - least) / bound))


def _matched(found: Assembled) -> bool:
    information = [form.information for form in found.forms]
    return max(information) <= min(information) * (1 + MATCHED)
