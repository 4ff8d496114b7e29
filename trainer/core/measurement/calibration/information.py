"""Observed information of all slopes and intercepts together."""

from collections.abc import Iterator
from typing import Any

import numpy as np
from scipy.sparse import csr_array, hstack

from trainer.core.measurement.calibration.derivatives import Blocks
from trainer.core.measurement.evidence import Evidence
from trainer.core.measurement.posterior import Curves, Grid, Work, ready, weights
from trainer.core.measurement.response_model import Floats

DEGREES = ((150, 2), (60, 3), (30, 4), (0, 10))
"""At least so many responses a person: so many polynomials, for three to five figures of a standard
error. A long test knows each person so well that its curves are nearly straight there."""
VANISHING = 1e-6


def degrees_for(evidence: Evidence) -> int:
    """How many polynomials `observed_information` needs."""
    each = evidence.counts()[1].sum() / evidence.people
    return next(degrees for least, degrees in DEGREES if each >= least)


def observed_information(
    evidence: Evidence, shape: Curves, grid: Grid, complete: Blocks, degrees: int
) -> Floats:
    """Negative second derivatives of the marginal log-likelihood: (2 families, 2 families).

    Parameters
    ----------
    evidence, shape, grid : responses, and the families' curves on a grid
    complete : curvature of the complete-data log-likelihood, from `derivatives.blocks`; a prior's
        curvature may be in it
    degrees : polynomials kept of each person's posterior, >= 1

    Returns
    -------
    Rows and columns: every slope a, then every intercept d.

    Notes
    -----
    Observed = complete - missing; the missing part is the sum over people of the posterior
    covariance of the complete-data score s(theta). With polynomials p_m orthonormal under a
    person's posterior, Cov(s) = sum over m >= 1 of E[s p_m] E[s p_m]' (Parseval), which needs a
    few products instead of one a point of the grid.

    References
    ----------
    Louis 1982, Journal of the Royal Statistical Society B 44, equation 3.2.
    """
    found = complete.matrix()
    at = ready(shape, grid, evidence.precision)
    kind = evidence.precision
    slopes = np.vstack([grid.theta * shape.slope, shape.slope]).T.astype(kind)
    rising = np.vstack([grid.theta * shape.right_slope, shape.right_slope]).T.astype(kind)
    for _, right, given in evidence.parts():
        weight, _ = weights(right, given, at)
        for tilted in _polynomials(weight, at.theta, degrees):
            if evidence.sparse:
                scores = _sparse_scores(right, given, tilted, rising, slopes)
                found -= (scores.T @ scores).toarray()
            else:
                scores = _scores(right, given, tilted, rising, slopes, shape.line is not None)
                found -= scores.T @ scores
    return found


def _polynomials(weight: Work, theta: Work, degrees: int) -> Iterator[Work]:
    """Posterior weight times each orthonormal polynomial of degree 1, 2, ...: (people, points).

    The three-term recurrence of Stieltjes, for every person at once (Gautschi 2004, Orthogonal
    Polynomials, 2.2).
    """
    last, now = np.zeros_like(weight), np.ones_like(weight)
    norm = np.zeros((len(weight), 1), weight.dtype)
    for _ in range(degrees):
        centre = ((weight * now**2) @ theta)[:, None]
        following = (theta - centre) * now - norm * last
        norm = np.sqrt((weight * following**2).sum(axis=1, keepdims=True))
        thin = norm < VANISHING
        last, now = now, np.where(thin, 0, following / np.where(thin, 1, norm))
        yield weight * now


def _scores(
    right: Any, given: Any | None, tilted: Work, rising: Work, slopes: Work, straight: bool
) -> Work:
    """E[s p] of every person: (people, 2 families), by slope then by intercept."""
    families = right.shape[1]
    found = tilted @ slopes
    if given is not None:
        found[:, :families] *= given
        found[:, families:] *= given
    if straight:
        theta = tilted @ rising[:, :1]
        if np.abs(theta).max() > VANISHING:
            found[:, :families] -= right * theta
        return found
    climb = tilted @ rising
    climb[:, :families] *= right
    climb[:, families:] *= right
    found -= climb
    return found


def _sparse_scores(right: Any, given: Any, tilted: Work, rising: Work, slopes: Work) -> Any:
    """The same where only given cells are kept."""
    families = right.shape[1]
    own = tilted[np.repeat(np.arange(given.shape[0]), np.diff(given.indptr))]
    falls, climbs = np.ascontiguousarray(slopes.T), np.ascontiguousarray(rising.T)
    halves = []
    for start in (0, families):
        at = given.indices + start
        drop = np.einsum("kq,kq->k", own, falls[at])
        climb = np.einsum("kq,kq->k", own, climbs[at])
        cells = drop - right.data * climb
        halves.append(csr_array((cells, given.indices, given.indptr), shape=given.shape))
    return hstack(halves, format="csr")
