"""What a panel's ratings come to: cut, agreement, each judge, and how a form would decide."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import isnan

import numpy as np

from trainer.core.measurement.analysis.precision import binomial_error, score_error
from trainer.core.measurement.classification import lee, rudner
from trainer.core.measurement.classification.outcome import PassFail
from trainer.core.measurement.classification.people import abilities, spread
from trainer.core.measurement.decision import parameters
from trainer.core.measurement.priors import Difficulty
from trainer.core.measurement.response_model import Floats, expected_score, probability
from trainer.core.measurement.standard_setting.agreement import cross_table, kappa
from trainer.core.measurement.standard_setting.equating import AbilityCut, ability_cut, raw_cut
from trainer.core.measurement.standard_setting.judges import Judge, judges, most_apart
from trainer.core.measurement.standard_setting.ratings import Round, read_round
from trainer.store.standards import PanelItemRow
from trainer.store.statements import Found
from trainer.use_cases.know_standard import ABILITIES

LEAST_RATERS = 2
TEN = 10
EDGES = np.array([0.45, 0.65, 0.85])
"""Ratings put into four classes to compare two judges: few, about half, most, nearly all."""
APART = 3
EVEN = 160
"""Abilities that decisions are reckoned over: an even number, so that nobody stands exactly at the
cut, where able and not able are one."""
MOST_SITTINGS, FEW_SITTINGS = 100, 20


@dataclass(frozen=True, slots=True)
class Quality:
    """How a form of `items` questions like the rated ones would decide at `needed` right.

    `shares`: right and wrong decisions (Lee); `estimate_accuracy`, `estimate_consistency`: the
    same from the ability estimate (Rudner). `of_sitters`: over people like those who sat lately;
    else over people of whom half are good enough, which is the hardest case. `error_at_cut`:
    standard error of a score there [questions].
    """

    items: int
    needed: int
    shares: PassFail
    estimate_accuracy: float
    estimate_consistency: float
    of_sitters: bool
    error_at_cut: float


@dataclass(frozen=True, slots=True)
class Weighed:
    """A panel's round, weighed. `raters` in the order of `judges`.

    `kappa`: mean agreement of pairs beyond chance, near misses counting in part; NaN where it
    cannot be said. `cut` and `quality` are None where the ratings lead to no ability: at or below
    guessing, or all right. `apart`: positions that the raters are least at one about.
    """

    raters: tuple[str, ...]
    round: Round
    judges: tuple[Judge, ...]
    kappa: float
    cut: AbilityCut | None
    quality: Quality | None
    apart: tuple[int, ...]


def finished(rows: Sequence[Found], number: int, items: int) -> tuple[str, ...]:
    """Who has rated every question of a round, in a steady order."""
    done: dict[str, int] = {}
    for row in rows:
        if row.round == number:
            done[row.rater_id] = done.get(row.rater_id, 0) + 1
    return tuple(sorted(rater for rater, count in done.items() if count == items))


def difficulties(items: Sequence[PanelItemRow]) -> list[Difficulty]:
    """The parameters behind a panel's items."""
    return [Difficulty(one.a, one.b, one.b_sd, one.floor) for one in items]


def weigh(
    items: Sequence[PanelItemRow],
    rows: Sequence[Found],
    number: int,
    form_items: int,
    sitters: tuple[float, float] | None = None,
) -> Weighed | None:
    """Weigh a round; None while fewer than two have finished it.

    `sitters`: mean and standard deviation of ability of those who sat lately, if known.
    """
    raters = finished(rows, number, len(items))
    if len(raters) < LEAST_RATERS:
        return None
    ratings = np.array([_of(rows, number, rater) for rater in raters]) / TEN
    found = read_round(ratings)
    slopes, b, floor = parameters(difficulties(items))
    cut = _ability(found, slopes, b, floor)
    expected = None if cut is None else probability(np.array([cut.ability]), slopes, b, floor)[0]
    return Weighed(
        raters=raters,
        round=found,
        judges=tuple(judges(ratings, expected)),
        kappa=_mean_kappa(ratings),
        cut=cut,
        quality=None if cut is None else quality(cut, (slopes, b, floor), form_items, sitters),
        apart=tuple(place + 1 for place in most_apart(ratings, APART)),
    )


def quality(
    cut: AbilityCut,
    rated: tuple[Floats, Floats, Floats],
    items: int,
    sitters: tuple[float, float] | None,
) -> Quality:
    """How a form of that many questions would decide, the rated ones standing for its own.

    Able is whose ability reaches the cut; passed is whose score reaches the form's whole number.
    """
    place = np.arange(items) * len(rated[0]) // items
    a, b, floor = (each[place] for each in rated)
    theta, weights = abilities(*(sitters or (cut.ability, 1.0)), EVEN)
    needed = raw_cut(cut.ability, a, b, floor)
    at_cut = expected_score(cut.ability, a, b, floor)
    estimate = rudner.classify(theta, weights, a, b, floor, (cut.ability,))
    return Quality(
        items,
        needed,
        lee.pass_fail(theta, weights, a, b, floor, needed, at_cut),
        estimate.accuracy,
        estimate.consistency,
        sitters is not None,
        float(score_error(np.array([cut.ability]), a, b, floor)[0]),
    )


def sitters(rows: Sequence[Found]) -> tuple[float, float] | None:
    """Mean and spread of ability of those who sat lately; None where too few are known.

    Each sitting's ability is the one whose expected score is its score, its error that of a
    binomial score over the slope of the expected score there.
    """
    known = [
        (row.score, row.most, row.outcome["expected"]) for row in rows if "expected" in row.outcome
    ]
    if len(known) < FEW_SITTINGS:
        return None
    at, errors = [], []
    for score, most, expected in known:
        inside = min(max(float(score), expected[0] + 0.5), expected[-1] - 0.5)
        at.append(float(np.interp(inside, expected, ABILITIES)))
        rise = float(np.interp(at[-1], ABILITIES, np.gradient(expected, ABILITIES)))
        errors.append(float(binomial_error(np.array([inside]), most)[0]) / rise)
    return spread(np.array(at), np.array(errors))


def _of(rows: Sequence[Found], number: int, rater: str) -> list[int]:
    return [row.of_ten for row in rows if row.round == number and row.rater_id == rater]


def _ability(found: Round, a: Floats, b: Floats, floor: Floats) -> AbilityCut | None:
    try:
        return ability_cut(found.cut, found.se, a, b, floor)
    except ValueError:
        return None


def _mean_kappa(ratings: Floats) -> float:
    """Mean over pairs (Light 1971, Psychological Bulletin 76), those that can be said."""
    pairs = [
        kappa(cross_table(ratings[i], ratings[j], EDGES), "linear").value
        for i, j in combinations(range(len(ratings)), 2)
    ]
    known = [value for value in pairs if not isnan(value)]
    return float(np.mean(known)) if known else float("nan")
