"""Which answers people choose, how able those are, and which wrong answers do no work."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.core.measurement.analysis.classical import correlations
from trainer.core.measurement.response_model import Floats

Choices = NDArray[np.int64]
IDLE = 0.05
"""A wrong answer that fewer choose does no work (Haladyna & Downing 1993, Educational and
Psychological Measurement 53)."""


@dataclass(frozen=True, slots=True)
class OptionUse:
    """One option of one item.

    `share` of the people who chose it, their `mean_total`, `r_total` and `r_rest`: correlation
    of choosing it with the total, and with the total without this item (NaN where all or none
    chose it). `by_band`: share that chose it in each band of ability, lowest first.
    """

    option: int
    is_key: bool
    count: int
    share: float
    mean_total: float
    r_total: float
    r_rest: float
    by_band: tuple[float, ...]


def scored(choices: Choices, keys: Sequence[int]) -> Floats:
    """Marks from choices: (people, items) of option numbers -> 1 where the key was chosen.

    Raises ValueError if there are not as many keys as items.
    """
    if choices.ndim != 2 or choices.shape[1] != len(keys):  # noqa: PLR2004 a matrix
        raise ValueError(f"{choices.shape=}, {len(keys)} keys")
    return np.asarray(choices == np.asarray(keys), dtype=float)


def bands(total: Floats, count: int) -> NDArray[np.int64]:
    """The band of each person, 0 the lowest: cut at the quantiles of the total.

    People with one total stand in one band, so a band may be empty. Raises ValueError for fewer
    than one band, for nobody, or a total that is no number.
    """
    if count < 1 or not len(total) or np.isnan(total).any():
        raise ValueError(f"{count=}, {total=}")
    edges = np.quantile(total, np.arange(1, count) / count)
    return np.searchsorted(edges, total, side="left")


def option_use(
    choices: Choices, keys: Sequence[int], options: Sequence[int], band_count: int = 3
) -> list[list[OptionUse]]:
    """Every option of every item, over people who answered everything.

    Parameters
    ----------
    choices : (people, items) option numbers
    keys : (items,) the right option of each item
    options : option numbers to report for each item
    band_count : bands of ability, from the total

    Returns
    -------
    For each item the options in the order given.

    Raises
    ------
    ValueError : As `scored`.

    References
    ----------
    Correlations as in Lord & Novick 1968, ch. 15; shares by band: Wainer 1989, Journal of
    Educational Measurement 26.
    """
    marks = scored(choices, keys)
    total = marks.sum(axis=1, keepdims=True)
    band = bands(total[:, 0], band_count)
    in_band = (band[:, None] == np.arange(band_count)).astype(float)
    return [
        _of_item(choices[:, [place]], options, key, total, total - marks[:, [place]], in_band)
        for place, key in enumerate(keys)
    ]


def use_beside(chose: Floats, key: int, ability: Floats, band_count: int = 3) -> list[OptionUse]:
    """Options of one item beside an ability from elsewhere, for items that not everybody had.

    Parameters
    ----------
    chose : (people, options), 1 where a person gave that answer, else 0
    key : which column is the right answer
    ability : (people,), from all that each person has answered

    Returns
    -------
    One for each column; `r_total` and `r_rest` are both the correlation with the ability.

    Raises
    ------
    ValueError : If lengths differ, or there is no such column.
    """
    if len(chose) != len(ability) or not 0 <= key < chose.shape[1]:
        raise ValueError(f"{chose.shape=}, {len(ability)=}, {key=}")
    in_band = (bands(ability, band_count)[:, None] == np.arange(band_count)).astype(float)
    beside = ability[:, None]
    return _uses(chose, range(chose.shape[1]), key, beside, beside, in_band)


def doubts(uses: Sequence[OptionUse]) -> Mapping[int, str]:
    """What speaks against an option, in words: option number -> doubt."""
    return {one.option: doubt for one in uses if (doubt := _doubt(one))}


def _of_item(
    column: Choices, options: Sequence[int], key: int, total: Floats, rest: Floats, in_band: Floats
) -> list[OptionUse]:
    chose = (column == np.asarray(options)).astype(float)
    return _uses(chose, options, key, total, rest, in_band)


def _uses(
    chose: Floats, options: Sequence[int], key: int, total: Floats, rest: Floats, in_band: Floats
) -> list[OptionUse]:
    counts = chose.sum(axis=0)
    with np.errstate(invalid="ignore", divide="ignore"):
        means = (chose.T @ total)[:, 0] / counts
        by_band = (chose.T @ in_band) / in_band.sum(axis=0)
    r_total, r_rest = correlations(chose, total), correlations(chose, rest)
    return [
        OptionUse(
            option=option,
            is_key=option == key,
            count=int(counts[n]),
            share=float(counts[n] / len(chose)),
            mean_total=float(means[n]),
            r_total=float(r_total[n]),
            r_rest=float(r_rest[n]),
            by_band=tuple(by_band[n].tolist()),
        )
        for n, option in enumerate(options)
    ]


def _doubt(one: OptionUse) -> str:
    if one.is_key:
        return "the able choose it less often than the others" if one.r_rest < 0 else ""
    if one.share < IDLE:
        return "hardly anybody chooses it"
    return "the able choose it more often than the others" if one.r_rest > 0 else ""
