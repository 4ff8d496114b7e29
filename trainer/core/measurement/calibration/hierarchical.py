"""Families' parameters and what their features say of difficulty, estimated together."""

from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.calibration.estimate import Estimates, estimate
from trainer.core.measurement.calibration.feature_regression import Beliefs, Regression, regress
from trainer.core.measurement.calibration.model import Model
from trainer.core.measurement.calibration.prior import LOG_SLOPE_SD, Prior
from trainer.core.measurement.evidence import Evidence
from trainer.core.measurement.response_model import Floats

ROUNDS, CLOSE = 60, 1e-3
BOLD, CAREFUL = 10, 0.5
"""After so many rounds each goes only part of its way: little data can swing to and fro."""
LEAST_PRECISION = 1e-4
"""What silent responses say of a difficulty [1 / theta^2]: an SD of 100."""


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
    until they rest. Slopes are taken as if b were averaged over: the width of b's posterior goes
    with 1 / a as far as responses set it (`Prior.told`).

    References
    ----------
    Mislevy 1986, Psychometrika 51; De Boeck & Wilson 2004, ch. 6; Tierney & Kadane 1986, Journal
    of the American Statistical Association 81.
    """
    mean, spread, share = rows @ before.weights, before.spread, np.zeros(len(rows))
    for number in range(ROUNDS):
        prior = Prior(log_slope_sd, spread, mean, on_log=True, told=share)
        found = estimate(evidence, floor, model, prior)
        share = np.clip(1 - np.diag(found.covariance_b) / spread**2, 0.0, 1.0)
        alone, error = _without_prior(found, mean, spread)
        told = regress(rows, alone, error, before)
        following = rows @ told.weights
        moved = max(np.abs(following - mean).max(), abs(told.spread - spread)) / spread
        if moved < CLOSE:
            return Together(found, told, found.converged)
        part = 1.0 if number < BOLD else CAREFUL
        mean = mean + part * (following - mean)
        spread = spread + part * (told.spread - spread)
    return Together(found, told, False)


def _without_prior(found: Estimates, mean: Floats, spread: float) -> tuple[Floats, Floats]:
    """Difficulties and the covariance of their errors as responses alone would have them.

    Where responses say next to nothing, the curve's second derivative says less than nothing as
    often as not; in such directions it is taken as next to nothing. The mode stays where it is, so
    that all goes over smoothly: a direction that counted or not by a threshold would come and go
    from round to round, and nothing would rest.
    """
    precision = np.linalg.inv(found.covariance_b)
    told, axes = np.linalg.eigh(precision - np.eye(len(mean)) / spread**2)
    told = np.maximum(told, LEAST_PRECISION)
    off = axes.T @ (found.b - mean)
    alone = mean + axes @ ((1 + 1 / (told * spread**2)) * off)
    return alone, (axes / told) @ axes.T
