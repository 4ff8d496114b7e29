"""What families' features say of their difficulty: weights and spread, from what responses say."""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_factor, cho_solve
from scipy.optimize import minimize_scalar

from trainer.core.measurement.response_model import Floats

NARROWEST, WIDEST_SPREAD = 0.01, 5.0


@dataclass(frozen=True, slots=True)
class Beliefs:
    """What is believed of weights and spread before any data.

    weights ~ N(`weights`, diag(`sd`^2)), with infinite sd: flat; ln spread ~ N(ln `spread`,
    `log_sd`^2), with None: flat.
    """

    weights: Floats
    sd: Floats
    spread: float = 1.0
    log_sd: float | None = None


@dataclass(frozen=True, slots=True)
class Regression:
    """b ~ N(row . weights, spread^2): `weights` (k,) with their `covariance` (k, k), `spread`."""

    weights: Floats
    covariance: Floats
    spread: float
    log_likelihood: float


def regress(rows: Floats, b: Floats, error: Floats, before: Beliefs) -> Regression:
    """Weights and spread of highest marginal likelihood.

    Parameters
    ----------
    rows : (families, k) features
    b : (families,) difficulties that responses alone say
    error : (families, families) covariance of their errors
    before : beliefs, (k,) weights

    Returns
    -------
    Regression. `log_likelihood`: ln N(b; rows . weights, error + spread^2), at the best weights
    (flat ones) or over all weights (believed ones), without the belief on the spread.

    Raises
    ------
    ValueError : If shapes do not fit or there are no families.

    References
    ----------
    Efron & Morris 1975, Journal of the American Statistical Association 70; De Boeck & Wilson
    2004, Explanatory Item Response Models, ch. 6 (families' features with a residual).
    """
    if not len(b) or rows.shape[0] != len(b) or error.shape != (len(b), len(b)):
        raise ValueError(f"{rows.shape=}, {b.shape=}, {error.shape=}")
    if rows.shape[1] != len(before.weights):
        raise ValueError(f"{rows.shape=}, {before.weights.shape=}")

    def cost(log_spread: float) -> float:
        return -_at(np.exp(log_spread), rows, b, error, before).log_likelihood - _believed(
            log_spread, before
        )

    span = (np.log(NARROWEST), np.log(WIDEST_SPREAD))
    best = minimize_scalar(cost, bounds=span, method="bounded", options={"xatol": 1e-6})
    return _at(float(np.exp(best.x)), rows, b, error, before)


def _believed(log_spread: float, before: Beliefs) -> float:
    if before.log_sd is None:
        return 0.0
    return -((log_spread - float(np.log(before.spread))) ** 2) / (2 * before.log_sd**2)


def _at(spread: float, rows: Floats, b: Floats, error: Floats, before: Beliefs) -> Regression:
    """The weights that go with a spread."""
    noise = cho_factor(error + spread**2 * np.eye(len(b)))
    precision = 1 / before.sd**2
    off = b - rows @ before.weights
    covariance = np.linalg.inv(rows.T @ cho_solve(noise, rows) + np.diag(precision))
    change = covariance @ (rows.T @ cho_solve(noise, off))
    left = off - rows @ change
    fit = left @ cho_solve(noise, left) + change @ (precision * change)
    size = 2 * np.log(np.diag(noise[0])).sum() + len(b) * np.log(2 * np.pi)
    if precision.all():
        size += -np.linalg.slogdet(covariance)[1] - np.log(precision).sum()
    height = -(fit + size) / 2
    return Regression(before.weights + change, covariance, spread, float(height))
