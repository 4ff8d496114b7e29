"""Families' parameters and what their features say of difficulty, estimated together."""

from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.calibration.estimate import Estimates, estimate
from trainer.core.measurement.calibration.feature_regression import Beliefs, Regression, regress
from trainer.core.measurement.calibration.model import Model
from trainer.core.measurement.calibration.prior import LOG_SLOPE_SD, Prior
from trainer.core.measurement.evidence import Evidence
from trainer.core.measurement.response_model import Floats

ROUNDS, CLOSE = 30, 1e-3
LEAST_PRECISION = 1e-4
"""Responses say at least this much of a difficulty [1 / theta^2]: an SD of 100."""


@dataclass(frozen=True, slots=True)
class Together:
    """`estimates`: joint mode given the regression. `settled`: whether all came to rest."""

    estimates: Estimates
    regression: Regression
    settled: bool


def estimate_with_features(
    evidence: Evidence,
    floor: Floats,
    model: Model,
    rows: Floats,
    before: Beliefs,
    log_slope_sd: float | None = LOG_SLOPE_SD,
) -> Together:
    """Slopes and difficulties with b ~ N(rows . weights, spread^2), weights and spread too.

    Parameters
    ----------
    evidence, floor, model : as `estimate`
    rows : (families, k) features
    before : beliefs about the k weights and the spread
    log_slope_sd : the slopes' prior, as `Prior`

    Raises
    ------
    ValueError : If shapes do not fit.

    Notes
    -----
    Empirical Bayes by Laplace's method: at the mode under the present prior, what the responses
    alone say of b is taken as normal, N(b_alone, error), by taking the prior's precision out;
    weights and spread then maximise N(b_alone; rows . weights, error + spread^2), and so in turn
    until they rest.

    References
    ----------
    Mislevy 1986, Psychometrika 51; De Boeck & Wilson 2004, ch. 6; Tierney & Kadane 1986, Journal
    of the American Statistical Association 81.
    """
    mean, spread = rows @ before.weights, before.spread
    for _ in range(ROUNDS):
        found = estimate(evidence, floor, model, Prior(log_slope_sd, spread, mean, natural=True))
        alone, error = _without_prior(found, mean, spread)
        told = regress(rows, alone, error, before)
        following = rows @ told.weights
        moved = max(np.abs(following - mean).max(), abs(told.spread - spread)) / spread
        mean, spread = following, told.spread
        if moved < CLOSE:
            return Together(found, told, found.converged)
    return Together(found, told, False)


def _without_prior(found: Estimates, mean: Floats, spread: float) -> tuple[Floats, Floats]:
    """Difficulties and the covariance of their errors as responses alone would have them."""
    precision = np.linalg.inv(found.covariance_b)
    pull = precision @ found.b - mean / spread**2
    values, axes = np.linalg.eigh(precision - np.eye(len(mean)) / spread**2)
    error = (axes / np.maximum(values, LEAST_PRECISION)) @ axes.T
    return error @ pull, error
