"""The site's own responses to a dated calibration: families' parameters, and what features say."""

from collections.abc import Mapping, Sequence
from dataclasses import astuple, dataclass
from datetime import date

import numpy as np

from trainer.core.measurement.calibration.feature_regression import Beliefs, Regression
from trainer.core.measurement.calibration.hierarchical import Together, estimate_with_features
from trainer.core.measurement.calibration.mean_squares import over_posterior
from trainer.core.measurement.calibration.two_parameter import TwoParameter
from trainer.core.measurement.evidence import Evidence, from_rows
from trainer.core.measurement.priors import (
    JUDGED,
    LEVEL,
    LEVELS,
    PLAIN,
    SPREAD,
    Difficulty,
    Outlook,
    before_data,
    guessed,
)
from trainer.core.measurement.response_model import Floats

PLAIN_SD = 1.0
"""How far a site's people may stand from those that the judged weights had in mind."""
LEAST_WEIGHT_SD = 0.1
UNKNOWN_SD = 0.3
"""SD of the weight of a feature that nobody judged, for a change as large as it varies here."""
LOG_SPREAD_SD = 0.5


@dataclass(frozen=True, slots=True)
class Answer:
    """One marked response as the site keeps it.

    `family`: what is calibrated; where levels are to be calibrated apart, family and level in one
    word. `features`: of the item that was shown. `floor`: its chance of a right guess.
    """

    person: str
    family: str
    right: bool
    level: str
    features: Mapping[str, float]
    floor: float


@dataclass(frozen=True, slots=True)
class FamilyFound:
    """What a calibration says of one family.

    `a` > 0, `b` with its `sd` [theta]: posterior mode and SD. `floor`: mean chance of a right
    guess. `n`: people whose response counts. `infit`, `outfit`: 1 as the model expects, above it
    responses surprise more. `row`: (k,) mean features of the items shown.
    """

    a: float
    b: float
    sd: float
    floor: float
    n: int
    infit: float
    outfit: float
    row: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Calibration:
    """Parameters found on one day; nothing uses them until somebody adopts them.

    `dated`: as given. `people`, `answers`: how many counted. `families`: by name, those with
    responses. `outlook`: for families and items without. `log_likelihood`: of the responses.
    `converged`: False says not to adopt it. `centre`: mean ability of its people on its scale,
    whose SD is 1 (0 until it is `linking.linked` to another scale).
    """

    dated: date
    people: int
    answers: int
    families: Mapping[str, FamilyFound]
    outlook: Outlook
    log_likelihood: float
    converged: bool
    centre: float = 0.0

    def finite(self) -> bool:
        """Whether every number in it is one: nothing else may be kept or shown."""
        families = [(*astuple(one)[:-1], *one.row) for one in self.families.values()]
        said = self.outlook
        whole = (*said.weights, said.spread, said.slope, self.log_likelihood, self.centre)
        return all(np.isfinite(part).all() for part in (*families, *said.covariance, whole))

    def difficulty(
        self, family: str, level: str, features: Mapping[str, float], floor: float
    ) -> Difficulty:
        """Parameters of an item: its family's, moved by how its features differ from the mean.

        A family without responses gets what its features say, with an honest SD.
        """
        known = self.families.get(family)
        if known is None:
            return before_data(level, features, floor, self.outlook)
        return self._moved(known, self.outlook.row(level, features), floor)

    def at_level(self, family: str, level: str) -> Difficulty:
        """Parameters of a typical item of a family at a level. Raises KeyError for one unknown."""
        known = self.families[family]
        named = zip(self.outlook.names, known.row, strict=True)
        row = tuple(
            float(name == LEVEL + level) if name.startswith(LEVEL) else mean for name, mean in named
        )
        return self._moved(known, row, known.floor)

    def _moved(self, known: FamilyFound, row: tuple[float, ...], floor: float) -> Difficulty:
        """A family's parameters, moved by how an item's features differ from their mean."""
        apart = tuple(one - mean for one, mean in zip(row, known.row, strict=True))
        moved, sd = self.outlook.expects(apart)
        unsure = max(sd**2 - self.outlook.spread**2, 0.0)
        return Difficulty(
            known.a, known.b + moved, float(np.hypot(known.sd, unsure**0.5)), guessed(floor)
        )


def recalibrate(answers: Sequence[Answer], dated: date) -> Calibration:
    """Calibrate every family that has responses, and learn what features say of the others.

    2PL with each family's floor fixed, a ~ lognormal(0, 0.5), b ~ N(features . weights, spread^2),
    weights and spread estimated, beginning from what is judged (`priors.JUDGED`, spread 0.8).

    Parameters
    ----------
    answers : in the order given; of a person's responses to a family only the first counts, since
        later ones also show what the first one taught
    dated : the day it is to bear

    Raises
    ------
    ValueError : If there are no answers.
    """
    if not answers:
        raise ValueError("no answers")
    first: dict[tuple[str, str], Answer] = {}
    for answer in answers:
        first.setdefault((answer.person, answer.family), answer)
    counted = list(first.values())
    names = sorted({answer.family for answer in counted})
    people = sorted({answer.person for answer in counted})
    places = {name: place for place, name in enumerate(names)}
    seats = {person: seat for seat, person in enumerate(people)}
    family = np.array([places[answer.family] for answer in counted])
    person = np.array([seats[answer.person] for answer in counted])
    evidence = from_rows(person, family, np.array([answer.right for answer in counted]))
    columns = _columns(counted)
    held = Outlook(columns, tuple(0.0 for _ in columns), (), SPREAD)
    shown = np.array([held.row(answer.level, answer.features) for answer in counted])
    rows = _means(shown, family, len(names))
    floor = _means(np.array([[guessed(one.floor)] for one in counted]), family, len(names))[:, 0]
    found = estimate_with_features(evidence, floor, TwoParameter(), rows, _beliefs(columns, rows))
    return _calibration(found, evidence, names, rows, columns, dated)


def _columns(answers: Sequence[Answer]) -> tuple[str, ...]:
    """The features to learn from: plain, the levels that are not the middle one, all others."""
    levels = [LEVEL + level for level, weight in LEVELS.items() if weight]
    seen = {name for answer in answers for name in answer.features}
    return (PLAIN, *levels, *sorted(seen))


def _means(values: Floats, family: "np.typing.NDArray[np.intp]", families: int) -> Floats:
    """Mean of each column over the responses of each family."""
    count = np.bincount(family, minlength=families)
    sums = [np.bincount(family, column, families) for column in values.T]
    return np.column_stack(sums) / count[:, None]


def _beliefs(columns: tuple[str, ...], rows: Floats) -> Beliefs:
    """Judged weights, each as unsure as it is large; 0 for what nobody judged."""
    judged = dict(zip(JUDGED.names, JUDGED.weights, strict=True))
    weights = np.array([judged.get(name, 0.0) for name in columns])
    varies = np.maximum(rows.std(axis=0), LEAST_WEIGHT_SD)
    sd = np.where(weights == 0, UNKNOWN_SD / varies, np.maximum(np.abs(weights), LEAST_WEIGHT_SD))
    sd[columns.index(PLAIN)] = PLAIN_SD
    return Beliefs(weights, sd, SPREAD, LOG_SPREAD_SD)


def honest_sd(se_b: Floats, rows: Floats, told: Regression) -> Floats:
    """SD of difficulties, (families,), which also holds how unsure their features' weights are.

    var = se^2 + (se^2 / spread^2)^2 row . covariance . row: a family leans on its features by the
    share se^2 / spread^2 that its own responses leave open. Reference: Kass & Steffey 1989, Journal
    of the American Statistical Association 84.
    """
    share = np.minimum(se_b**2 / told.spread**2, 1.0)
    weights = np.einsum("jk,kl,jl->j", rows, told.covariance, rows)
    return np.asarray(np.sqrt(se_b**2 + share**2 * weights))


def _calibration(
    found: Together,
    evidence: Evidence,
    names: Sequence[str],
    rows: Floats,
    columns: tuple[str, ...],
    dated: date,
) -> Calibration:
    one, told = found.estimates, found.regression
    fit = over_posterior(evidence, one.a, one.b, one.floor)
    sd = honest_sd(one.se_b, rows, told)
    families = {
        name: FamilyFound(
            a=float(one.a[place]),
            b=float(one.b[place]),
            sd=float(sd[place]),
            floor=float(one.floor[place]),
            n=int(one.answers[place]),
            infit=float(fit.infit[place]),
            outfit=float(fit.outfit[place]),
            row=tuple(rows[place].tolist()),
        )
        for place, name in enumerate(names)
    }
    outlook = Outlook(
        columns,
        tuple(told.weights.tolist()),
        tuple(map(tuple, told.covariance.tolist())),
        told.spread,
        float(np.exp(np.log(one.a).mean())),
    )
    answers = int(one.answers.sum())
    return Calibration(
        dated, one.people, answers, families, outlook, one.log_likelihood, found.settled
    )
