"""Families' parameters and what their features say of difficulty, estimated together."""

from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.calibration.estimate import Estimates, estimate
from trainer.core.measurement.calibration.feature_regression import Beliefs, Regression, regress
from trainer.core.measurement.calibration.model import Model
from trainer.core.measurement.calibration.prior import LOG_SLOPE_SD, Prior
from trainer.core.measurement.evidence import Evidence
from trainer.core.measurement.response_model import Floats

ROUNDS, CLOSE = 100, 1e-3
LEAST_PART = 0.25
"""Whenever a round moves no less than the one before, the next go half as far, down to this part:
little data can swing to and fro."""
LEAST_PRECISION = 1e-4
"""What silent responses say of a difficulty [1 / theta^2]: an SD of 100."""
FARTHEST = 3.0
"""Responses stand at most about so many of their SDs from what was believed in a direction."""


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
    part, last = 1.0, np.inf
    for _ in range(ROUNDS):
        prior = Prior(log_slope_sd, spread, mean, on_log=True, told=share)
        found = estimate(evidence, floor, model, prior)
        share = np.clip(1 - np.diag(found.covariance_b) / spread**2, 0.0, 1.0)
        alone, error = _without_prior(found, mean, spread)
        told = regress(rows, alone, error, before)
        following = rows @ told.weights
        moved = max(np.abs(following - mean).max(), abs(told.spread - spread)) / spread
        if moved < CLOSE:
            return Together(found, told, found.converged)
        part, last = part if moved < last else max(part / 2, LEAST_PART), moved
        mean = mean + part * (following - mean)
        spread = spread + part * (told.spread - spread)
    return Together(found, told, False)


def _without_prior(found: Estimates, mean: Floats, spread: float) -> tuple[Floats, Floats]:
    """Difficulties and the covariance of their errors as responses alone would have them.

    Where responses say next to nothing, the curve's second derivative says less than nothing as
    often as not; in such directions it is taken as next to nothing, or as a ninth of the squared
    slope where that is more: the square's expectation is the information too, and a slope without
    curvature would throw weights far out (Berndt, Hall, Hall & Hausman 1974, Annals of Economic
    and Social Measurement 3). The mode stays where it is, so that all goes over smoothly: a
    direction that counted or not by a threshold would come and go from round to round, and nothing
    would rest.
    """
    precision = np.linalg.inv(found.covariance_b)
    told, axes = np.linalg.eigh(precision - np.eye(len(mean)) / spread**2)
    off = axes.T @ (found.b - mean)
    told = np.maximum(told, np.maximum(LEAST_PRECISION, (off / (FARTHEST * spread**2)) ** 2))
    alone = mean + axes @ ((1 + 1 / (told * spread**2)) * off)
    return alone, (axes / told) @ axes.T
