"""Gradient and curvature of the expected log-likelihood, family by family."""

from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.calibration.expectation import Expectation
from trainer.core.measurement.posterior import Curves, Grid
from trainer.core.measurement.response_model import Floats


@dataclass(frozen=True, slots=True)
class Blocks:
    """Per family: gradient by slope a and intercept d, and the 2 x 2 negative second derivatives.

    Each (families,).
    """

    by_a: Floats
    by_d: Floats
    aa: Floats
    ad: Floats
    dd: Floats

    def matrix(self) -> Floats:
        """The second derivatives in one, (2 families, 2 families): every slope, every intercept."""
        aa, ad, dd = np.diag(self.aa), np.diag(self.ad), np.diag(self.dd)
        return np.block([[aa, ad], [ad, dd]])


def blocks(found: Expectation, shape: Curves, grid: Grid, exact: bool = True) -> Blocks:
    """Derivatives of sum(right ln P + wrong ln Q) over the expected counts.

    The gradient is also that of the marginal log-likelihood (Fisher's identity; Louis 1982,
    Journal of the Royal Statistical Society B 44). `exact=False` leaves out the part by which
    guessing flattens the curvature, so that a step is never too long and its matrix never
    indefinite.
    """
    pull = found.right * shape.right_slope - found.given * shape.slope
    bend = found.given * shape.slope * (1 - shape.slope)
    if exact and shape.line is None:
        bend -= found.right * shape.right_slope * (1 - shape.right_slope)
    powers = np.column_stack([np.ones_like(grid.theta), grid.theta, grid.theta**2])
    gradient, curvature = pull @ powers[:, :2], bend @ powers
    return Blocks(gradient[:, 1], gradient[:, 0], curvature[:, 2], curvature[:, 1], curvature[:, 0])
