"""Parameters of families from responses: the one door to calibration."""

from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.calibration.maximise import VAGUE, Maximum, Search
from trainer.core.measurement.calibration.model import Model
from trainer.core.measurement.calibration.prior import NONE, Prior
from trainer.core.measurement.evidence import Evidence, Marks, from_marks
from trainer.core.measurement.one_thread import one_thread
from trainer.core.measurement.posterior import COARSE, COARSE_SPAN, FINEST, Grid, grid_of
from trainer.core.measurement.response_model import Floats

MUCH = 400_000
"""From so many responses on, products are taken in single precision on a coarser grid."""
LONG, VERY_LONG = 150, 300
"""With so many responses a person is known too well for the coarser grid, or even the fine one."""


@dataclass(frozen=True, slots=True)
class Estimates:
    """Families' parameters, their standard errors and how the search for them went.

    `a`, `b`, `se_a`, `se_b`, `floor`, `answers` (how many answered): (families,), in the order of
    the columns. Standard errors are from the observed information on the (a, b) scale; where that
    is not definite the search has not arrived, and they are from the expected information under a
    prior, NaN without. `covariance_b` (families, families) holds the difficulties' together. A
    slope below 0 says that able people do worse: the key may be wrong. `converged`: the search came
    to rest, and every parameter has a value, its standard error below 100: not so where a slope is
    0, which leaves no difficulty.
    `log_likelihood`: sum over people of the log marginal probability of their responses, without
    any prior. `cycles`: passes through the responses. `change`: the last step, as the largest part
    of a standard error. `gradient`: the largest slope of the log-likelihood (with prior) by a free
    parameter.
    """

    a: Floats
    b: Floats
    se_a: Floats
    se_b: Floats
    covariance_b: Floats
    floor: Floats
    answers: Floats
    log_likelihood: float
    people: int
    cycles: int
    change: float
    gradient: float
    converged: bool


def evidence_of(marks: Marks) -> Evidence:
    """Evidence in the precision that its amount asks for."""
    much = np.count_nonzero(marks >= 0) >= MUCH
    return from_marks(marks, np.float32 if much else np.float64)


def estimate(evidence: Evidence, floor: Floats, model: Model, prior: Prior = NONE) -> Estimates:
    """Parameters of highest marginal likelihood, or joint posterior mode where there is a prior.

    Parameters
    ----------
    evidence : responses of people to families; who answered nothing adds nothing
    floor : (families,) chance of a right guess, held fixed, 0 <= c < 1
    model : `OneParameter()` or `TwoParameter()`
    prior : densities on a and b themselves

    Raises
    ------
    ValueError : If the floors do not fit; or without a prior on difficulty, if there are too few
        families (`model.fewest`), or one has no estimate, since everybody or nobody who answered
        it was right (`without_estimate`).

    Notes
    -----
    P = c + (1 - c) / (1 + exp(-a (theta - b))) with theta ~ N(0, 1); missing responses are
    passed over. Marginal maximum likelihood: Bock & Aitkin 1981, Psychometrika 46; the errors:
    Louis 1982, Journal of the Royal Statistical Society B 44; joint mode with priors: Mislevy
    1986, Psychometrika 51. Values agree with R ltm and Python mirt on three open data sets.
    """
    if floor.shape != (evidence.families,) or not ((floor >= 0) & (floor < 1)).all():
        raise ValueError(f"{floor.shape=}, {floor.min()=}, {floor.max()=}")
    if prior.sd is None and evidence.families < model.fewest:
        raise ValueError(f"{evidence.families=}, {model.fewest=}")
    if prior.sd is None and (lost := without_estimate(evidence)):
        raise ValueError(f"all or none right: {lost}")
    with one_thread():
        found = Search(evidence, floor, model, prior, _grid(evidence)).run()
    se_a, covariance_b = errors(found)
    se_b = np.sqrt(np.diag(covariance_b))
    return Estimates(
        found.a,
        -found.d / found.a,
        se_a,
        se_b,
        covariance_b,
        floor,
        evidence.counts()[1],
        found.log_likelihood,
        evidence.people,
        found.cycles,
        found.change,
        found.gradient,
        found.converged and bool(se_b.max() < VAGUE),
    )


def without_estimate(evidence: Evidence) -> list[int]:
    """Numbers of the families that everybody, or nobody, of those who answered got right."""
    right, given = evidence.counts()
    return [int(n) for n in np.flatnonzero((right == 0) | (right == given))]


def errors(found: Maximum) -> tuple[Floats, Floats]:
    """Standard errors of a, and the covariance of b = -d / a by the delta method."""
    families = len(found.a)
    b = -found.d / found.a
    a_part, d_part = found.covariance[:families], found.covariance[families:]
    by_b = -(b[:, None] * a_part + d_part) / found.a[:, None]
    covariance = -(by_b[:, :families] * b + by_b[:, families:]) / found.a
    return np.sqrt(np.diag(a_part)), covariance


def _grid(evidence: Evidence) -> Grid:
    each = evidence.counts()[1].sum() / evidence.people
    if each >= VERY_LONG:
        return grid_of(FINEST)
    if evidence.precision is np.float32 and each < LONG:
        return grid_of(COARSE, COARSE_SPAN)
    return grid_of()
