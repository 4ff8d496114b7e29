"""Does a family treat two groups alike, where each person answered only some of the families?

People are matched on how likely each answer was to be right, told from all their other answers.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.special import expit, logsumexp

from trainer.core.measurement.analysis.differences import Difference, Flags, from_tables
from trainer.core.measurement.analysis.options import bands
from trainer.core.measurement.analysis.power import UNSURE
from trainer.core.measurement.posterior import COARSE, COARSE_SPAN, grid_of
from trainer.core.measurement.response_model import Floats, check

Places = NDArray[np.intp]
LEAST_OTHERS = 5
"""Fewer other answers hardly tell one person from another: such an answer is not counted."""
LEAST_PEOPLE = 20
"""Of a smaller group nothing is said: that is chance, and a person could be found by it."""
FEWEST_BANDS, MOST_BANDS, PER_BAND = 5, 20, 10
"""Five strata remove about nine tenths of what groups differ by (Cochran 1968, Biometrics 24);
more where the smaller group has ten people for each."""
ROUNDS, STEPS, SETTLED, NARROWEST = 5, 50, 1e-3, 0.3
SMALLEST = np.finfo(float).tiny
GRID = grid_of(COARSE, COARSE_SPAN)


@dataclass(frozen=True, slots=True)
class Given:
    """Responses, one a row: each (responses,).

    `person`, `family`: numbers from 0, a pair only once. `right`. `a`, `b`, `floor`: of the item
    that was shown, as `response_model.probability`.
    """

    person: Places
    family: Places
    right: Flags
    a: Floats
    b: Floats
    floor: Floats


@dataclass(frozen=True, slots=True)
class Matched:
    """What was found of every family, each (families,) or (families, 2).

    `difference`: Mantel-Haenszel statistics. `people`: of the reference and the focal group, who
    counted. `right`: share right of the two groups, equally able (0..1, NaN where nobody could be
    matched): means over strata with the weights n_r n_f / n of Mantel and Haenszel, so that their
    difference has the sign of the statistic.
    """

    difference: Difference
    people: Floats
    right: Floats

    @property
    def said(self) -> Flags:
        """Families of which enough people of both groups were matched to say anything."""
        return np.asarray(self.people.min(axis=1) >= LEAST_PEOPLE)

    def classes(self) -> list[str]:
        """ETS's class of each family, as `Difference.classes`; '' for too few to say.

        Too few: a group below 20 people, or class A while the error is so large that a difference
        of 1.5 would pass unseen more than once in five times (`power.UNSURE`).
        """
        error = self.difference.se_delta
        return [
            found if enough and (found != "A" or sure <= UNSURE) else ""
            for found, enough, sure in zip(
                self.difference.classes(), self.said.tolist(), error.tolist(), strict=True
            )
        ]


def matched_differences(given: Given, focal: Flags, rounds: int = ROUNDS) -> Matched:
    """Mantel-Haenszel statistics of every family, purified.

    Parameters
    ----------
    given : responses; families count as many as the highest number says
    focal : (people,) True for the focal group
    rounds : at most so many, >= 1; 1 leaves nothing out

    Each person's ability is told from their answers to the other families, the studied one left
    out, with the mean and spread of their own group as prior; from it comes how likely this answer
    was to be right. Answers of one family with like chances stand in one stratum: bands at the
    quantiles, both groups together. Families that are flagged leave everybody's ability, until the
    flags settle or the rounds are over.

    Raises
    ------
    ValueError : If there are no responses or rounds, lengths differ, a pair comes twice, a group
        has nobody, or as `response_model.check`.

    References
    ----------
    Matching on an expected score that the answers of an adaptive test tell: Zwick, Thayer &
    Wingersky 1994, Applied Psychological Measurement 18 (25 items each of a pool of 75). The prior
    of the own group takes out what groups that differ in ability would else seem to differ by:
    Shealy & Stout 1993, Psychometrika 58; for adaptive tests Nandakumar & Roussos 2004, Journal of
    Educational and Behavioral Statistics 29. Bands as wide as that: Donoghue & Allen 1993, Journal
    of Educational Statistics 18. The rest: Dorans & Holland 1993, in Holland & Wainer,
    Differential Item Functioning, ch. 3.
    """
    _check(given, focal, rounds)
    curve, log_chance = _curves(given)
    flagged = np.zeros(int(given.family.max()) + 1, bool)
    for _ in range(rounds):
        expected, others = _expected(given, focal, curve, log_chance, ~flagged[given.family])
        counts = others >= LEAST_OTHERS
        found = in_strata(given, focal, _bands(given, focal, expected, counts), counts)
        before, flagged = flagged, found.difference.flagged & found.said
        if (flagged == before).all():
            break
    return found


def in_strata(given: Given, focal: Flags, stratum: Places, counts: Flags) -> Matched:
    """Mantel-Haenszel statistics of every family over given strata.

    `stratum`: (responses,) from 0; `counts`: (responses,) which of them to take. With the total
    score as stratum, of people who answered everything, this is `differences.differences`.
    """
    shape = int(given.family.max()) + 1, int(stratum.max()) + 1, 2, 2
    place = (given.family, stratum, focal[given.person].astype(int), given.right.astype(int))
    cells = np.ravel_multi_index(tuple(part[counts] for part in place), shape)
    table = np.bincount(cells, minlength=int(np.prod(shape))).reshape(shape).astype(float)
    both = table.sum(axis=3)
    alone = (both == 0).any(axis=2)
    table[alone], both[alone] = 0.0, 0.0
    wrong, right = (np.moveaxis(table[..., one], 1, 0) for one in (0, 1))
    return Matched(
        from_tables(right[..., 0], wrong[..., 0], right[..., 1], wrong[..., 1]),
        both.sum(axis=1),
        _alike(table[..., 1], both),
    )


def _alike(right: Floats, both: Floats) -> Floats:
    """Share right of each group over strata: (families, strata, 2) twice -> (families, 2)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        weight = np.nan_to_num(both.prod(axis=2) / both.sum(axis=2))
        share = np.nan_to_num(right / both)
        return np.asarray(np.einsum("fs,fsg->fg", weight, share) / weight.sum(axis=1)[:, None])


def _curves(given: Given) -> tuple[Floats, Floats]:
    """Probability of a right answer, and log probability of the one given: (responses, points)."""
    z = given.a[:, None] * (GRID.theta - given.b[:, None])
    floor = given.floor[:, None]
    curve = floor + (1 - floor) * expit(z)
    chance = np.where(given.right[:, None], curve, (1 - floor) * expit(-z))
    return curve, np.log(np.maximum(chance, SMALLEST))


def _expected(
    given: Given, focal: Flags, curve: Floats, log_chance: Floats, told: Flags
) -> tuple[Floats, Places]:
    """How likely each answer was to be right, and how many other answers tell that.

    `curve`, `log_chance`: as `_curves` gives them. `told`: which answers tell of ability.
    """
    rows = np.arange(len(told))
    of = csr_array((told.astype(float), (given.person, rows)), shape=(len(focal), len(rows)))
    sums = of @ log_chance
    others = (of @ np.ones(len(rows)))[given.person] - told
    prior = _priors(sums, focal)
    log_weight = (sums + prior)[given.person]
    log_weight -= np.where(told[:, None], log_chance, 0.0)
    log_weight -= log_weight.max(axis=1, keepdims=True)
    weight = np.exp(log_weight, out=log_weight)
    expected = np.einsum("np,np->n", weight, curve) / weight.sum(axis=1)
    return expected, np.rint(others).astype(np.intp)


def _priors(sums: Floats, focal: Flags) -> Floats:
    """Log weights of each person's own group on the grid: (people, points).

    Normal, mean and SD by EM from the group's answers (Bock & Aitkin 1981, Psychometrika 46), until
    neither moves by 0.001 or 50 rounds are over.
    """
    out = np.empty_like(sums)
    for group in (focal, ~focal):
        mean, sd = 0.0, 1.0
        for _ in range(STEPS):
            log_prior = -(((GRID.theta - mean) / sd) ** 2) / 2
            weight = np.exp(sums[group] + log_prior - _log_sum(sums[group] + log_prior))
            share = weight.mean(axis=0)
            before, mean = (mean, sd), float(share @ GRID.theta)
            sd = max(float(np.sqrt(share @ (GRID.theta - mean) ** 2)), NARROWEST)
            if max(abs(mean - before[0]), abs(sd - before[1])) < SETTLED:
                break
        out[group] = -(((GRID.theta - mean) / sd) ** 2) / 2
    return out


def _log_sum(values: Floats) -> Floats:
    return np.asarray(logsumexp(values, axis=1, keepdims=True))


def _bands(given: Given, focal: Flags, expected: Floats, counts: Flags) -> Places:
    """The band of each answer among those of its family: (responses,) from 0."""
    out = np.zeros(len(expected), np.intp)
    order = np.argsort(given.family, kind="stable")
    ends = np.cumsum(np.bincount(given.family))
    for there in np.split(order, ends[:-1]):
        kept = there[counts[there]]
        if len(kept):
            theirs = int(focal[given.person[kept]].sum())
            count = min(theirs, len(kept) - theirs) // PER_BAND
            out[kept] = bands(expected[kept], max(FEWEST_BANDS, min(MOST_BANDS, count)))
    return out


def _check(given: Given, focal: Flags, rounds: int) -> None:
    check(given.a, given.b, given.floor)
    if not len(given.person) == len(given.family) == len(given.right) == len(given.a) > 0:
        raise ValueError(f"{len(given.person)=}, {len(given.family)=}, {len(given.right)=}")
    if rounds < 1:
        raise ValueError(f"{rounds=}")
    if focal.all() or not focal.any() or given.person.max() >= len(focal):
        raise ValueError(f"{focal.shape=}: two groups, somebody in each")
    pairs = given.person * (int(given.family.max()) + 1) + given.family
    if len(np.unique(pairs)) != len(pairs):
        raise ValueError("a person's family comes twice")
