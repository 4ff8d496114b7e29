"""Slopes and intercepts of highest likelihood: expectation-maximisation to come near, Newton's
steps to arrive."""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_factor, cho_solve
from scipy.special import logit

from trainer.core.measurement.calibration.derivatives import Blocks, blocks
from trainer.core.measurement.calibration.expectation import (
    Expectation,
    expect,
    log_likelihood,
)
from trainer.core.measurement.calibration.information import degrees_for, observed_information
from trainer.core.measurement.calibration.model import Model
from trainer.core.measurement.calibration.prior import Prior
from trainer.core.measurement.evidence import Evidence
from trainer.core.measurement.posterior import FINEST, Curves, Grid, curves, grid_of
from trainer.core.measurement.response_model import Floats

CYCLES = 500
CLOSE, CLOSE_SINGLE = 1e-5, 2e-3
"""Arrived when a step moves no free parameter by more than this part of its standard error; the
second where products are taken in single precision."""
NEAR, PATIENCE = 0.05, 25
"""Newton's steps begin once a cycle changes no parameter by more than this, or after so many."""
STALE = 0.3
"""A matrix serves again while steps shrink to less than this each time."""
ROUGH_DEGREES = 2
INNER = 2
FARTHEST = 1.0
RUNAWAY = 50.0
"""A parameter beyond this grows without end: the responses have no likeliest value for it."""
VAGUE = 100.0
"""So unsure of itself, a parameter has run away however small the last step."""
EDGE = 0.02
SPREADING = 1.2
"""Intercepts start this much farther out than the logits of the shares right: abilities differ."""


@dataclass(frozen=True, slots=True)
class Maximum:
    """Where the likelihood (times prior) is highest, and how the search went.

    `a`, `d`: (families,). `covariance`: (2 families, 2 families), slopes first, from the observed
    information there; if that is not definite, from the expected one (`Search._expected`) under a
    prior, NaN without. `log_likelihood`: without the prior. `cycles`:
    passes through the responses. `change`: the last step, as the largest part of a standard
    error. `gradient`: the largest slope of the log-likelihood (with prior) by a free parameter.
    `converged`: the step is small, the information definite, and nothing has run away.
    """

    a: Floats
    d: Floats
    covariance: Floats
    log_likelihood: float
    cycles: int
    change: float
    gradient: float
    converged: bool


@dataclass(frozen=True, slots=True)
class _Point:
    """Parameters and what one pass through the responses says of them."""

    a: Floats
    d: Floats
    shape: Curves
    found: Expectation
    height: float
    at: Blocks


@dataclass(frozen=True, slots=True)
class _Newton:
    """Covariance of the free parameters where the matrix was taken."""

    covariance: Floats
    sd: Floats


class Search:
    """One search for the maximum: `Search(...).run()`."""

    def __init__(
        self, evidence: Evidence, floor: Floats, model: Model, prior: Prior, grid: Grid
    ) -> None:
        self._evidence, self._floor, self._model, self._grid = evidence, floor, model, grid
        self._prior = model.prior(prior, evidence.families)
        self._cycles = 0
        single = evidence.precision is np.float32
        self._close = CLOSE_SINGLE if single else CLOSE
        self._degrees = degrees_for(evidence)
        self._rough = ROUGH_DEGREES if single else self._degrees

    def run(self) -> Maximum:
        """The maximum."""
        here, matrix, change = self._come_near(), None, np.inf
        while self._cycles < CYCLES and self._bounded(here):
            matrix = matrix or self._newton(here, self._rough)
            if matrix is None:
                here = self._point(*self._climbed(here))
                continue
            by = matrix.covariance @ self._free_gradient(here)
            step = float(np.abs(by / matrix.sd).max())
            if step < self._close:
                return self._result(here, step)
            spread = np.split(self._model.spread(by), 2)
            there = self._point(*self._cut(here.a, here.d, *spread))
            if not there.height >= here.height - self._slack(here):
                here, matrix, change = self._point(*self._climbed(here)), None, np.inf
                continue
            matrix = matrix if step < STALE * change else None
            here, change = there, step
        return self._result(here, change)

    def _come_near(self) -> _Point:
        """Cycles of expectation-maximisation until they change little."""
        here = self._start()
        for _ in range(PATIENCE):
            there = self._point(*self._climbed(here))
            change = max(np.abs(there.a - here.a).max(), np.abs(there.d - here.d).max())
            here = there
            if change < NEAR:
                break
        return here

    def _start(self) -> _Point:
        """Slopes 1, and intercepts from the shares right."""
        right, given = self._evidence.counts()
        share = (right / np.maximum(given, 1) - self._floor) / (1 - self._floor)
        d = SPREADING * logit(np.clip(share, EDGE, 1 - EDGE))
        return self._point(np.ones(len(d)), d)

    def _point(self, a: Floats, d: Floats) -> _Point:
        """One pass through the responses."""
        self._cycles += 1
        shape = curves(a, d, self._floor, self._grid)
        found = expect(self._evidence, shape, self._grid)
        at = self._prior.added_to(blocks(found, shape, self._grid), a, d)
        height = found.log_likelihood + self._prior.log_density(a, d)
        return _Point(a, d, shape, found, height, at)

    def _climbed(self, here: _Point) -> tuple[Floats, Floats]:
        """The M step: parameters that raise the expected log-likelihood."""
        a, d, shape = here.a, here.d, here.shape
        for _ in range(INNER):
            likelihood = blocks(here.found, shape, self._grid, exact=False)
            step = self._model.step(self._prior.added_to(likelihood, a, d, exact=False))
            a, d = self._cut(a, d, *step)
            shape = curves(a, d, self._floor, self._grid)
        return a, d

    def _cut(self, a: Floats, d: Floats, by_a: Floats, by_d: Floats) -> tuple[Floats, Floats]:
        """A step cut to reason; a slope with a prior never more than halves."""
        new_a = a + np.clip(by_a, -FARTHEST, FARTHEST)
        if self._prior.log_slope_sd is not None:
            new_a = np.maximum(new_a, a / 2)
        return new_a, d + np.clip(by_d, -FARTHEST, FARTHEST)

    def _newton(self, at: _Point, degrees: int) -> _Newton | None:
        """The free parameters' covariance there, or None where the matrix is not definite."""
        return self._inverse(
            observed_information(self._evidence, at.shape, self._grid, at.at, degrees)
        )

    def _expected(self, at: _Point) -> _Newton | None:
        """The same from the expected information, which is definite wherever there is a prior.

        What is missing for want of abilities is not taken out: it says too little of how unsure
        parameters are, and serves only where the search has not arrived.
        """
        if self._prior.flat:
            return None
        likelihood = blocks(at.found, at.shape, self._grid, exact=False)
        return self._inverse(self._prior.expected(likelihood, at.a, at.d).matrix())

    def _inverse(self, matrix: Floats) -> _Newton | None:
        gathered = self._model.gathered
        free = gathered(gathered(matrix).T)
        try:
            factor = cho_factor(free)
        except np.linalg.LinAlgError:
            return None
        covariance = cho_solve(factor, np.eye(len(free)))
        return _Newton(covariance, np.sqrt(np.diag(covariance)))

    def _free_gradient(self, at: _Point) -> Floats:
        return self._model.gathered(np.concatenate([at.at.by_a, at.at.by_d]))

    def _bounded(self, here: _Point) -> bool:
        return bool(max(np.abs(here.a).max(), np.abs(here.d).max()) < RUNAWAY)

    def _slack(self, here: _Point) -> float:
        return abs(here.height) * float(np.finfo(self._evidence.precision).eps)

    def _log_likelihood(self, here: _Point) -> float:
        """In double precision on the finest grid, where the search made do with less."""
        if self._evidence.precision is np.float64:
            return here.found.log_likelihood
        fine = grid_of(FINEST)
        return log_likelihood(self._evidence, curves(here.a, here.d, self._floor, fine), fine)

    def _result(self, here: _Point, change: float) -> Maximum:
        """The parameters with the covariance there."""
        last = self._newton(here, self._degrees)
        size = 2 * len(here.a)
        spread = self._model.spread
        covariance = np.full((size, size), np.nan)
        told = last or self._expected(here)
        if told is not None:
            covariance = spread(spread(told.covariance).T).T
        return Maximum(
            here.a,
            here.d,
            covariance,
            self._log_likelihood(here),
            self._cycles,
            change,
            float(np.abs(self._free_gradient(here)).max()),
            last is not None and change < self._close and bool(last.sd.max() < VAGUE),
        )
