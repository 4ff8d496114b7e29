"""Differences between groups by logistic regression: also those that change with ability."""

from dataclasses import dataclass

import numpy as np
from scipy.special import expit, log_expit
from scipy.stats import chi2

from trainer.core.measurement.analysis.differences import Flags, check_groups
from trainer.core.measurement.response_model import Floats

STEPS, SETTLED, LONGEST_STEP, RIDGE = 60, 1e-10, 2.0, 1e-10


@dataclass(frozen=True, slots=True)
class LogisticDifference:
    """Likelihood-ratio tests of every item, each (items,).

    `uniform`: of the group's main effect, 1 degree of freedom; `both`: of main effect and
    interaction with the score, 2 degrees.
    """

    uniform: Floats
    both: Floats

    @property
    def p_both(self) -> Floats:
        """Of main effect and interaction together."""
        return np.asarray(chi2.sf(self.both, 2))


def logistic_differences(marks: Floats, focal: Flags) -> LogisticDifference:
    """Likelihood-ratio tests for each item given the total score with the item.

    Parameters
    ----------
    marks : (people, items), complete, 0/1
    focal : (people,) True for the focal group

    logit P = c0 + c1 score, then + c2 group, then + c3 group x score, fitted by Newton steps to
    all items at once.

    Raises
    ------
    ValueError : As `differences.check_groups`.

    References
    ----------
    Swaminathan & Rogers 1990, Journal of Educational Measurement 27.
    """
    check_groups(marks, focal)
    total = marks.sum(axis=1)
    score = (total - total.mean()) / (total.std() or 1.0)
    group = focal.astype(float)
    design = np.column_stack([np.ones_like(score), score, group, score * group])
    plain, uniform, both = (_log_likelihood(design[:, :width], marks) for width in (2, 3, 4))
    return LogisticDifference(
        np.maximum(2 * (uniform - plain), 0.0), np.maximum(2 * (both - plain), 0.0)
    )


def _log_likelihood(design: Floats, marks: Floats) -> Floats:
    """The maximum over coefficients, for each column of marks; where groups or scores part right
    from wrong without exception, what it comes near to."""
    coefficients = np.zeros((design.shape[1], marks.shape[1]))
    small = RIDGE * np.eye(design.shape[1])
    for _ in range(STEPS):
        p = expit(design @ coefficients)
        slope = design.T @ (marks - p)
        curvature = np.einsum("ni,nk,nj->kij", design, p * (1 - p), design, optimize=True) + small
        step = np.linalg.solve(curvature, slope.T[:, :, None])[:, :, 0].T
        coefficients += np.clip(step, -LONGEST_STEP, LONGEST_STEP)
        if np.abs(step).max() < SETTLED:
            break
    at = design @ coefficients
    return np.asarray((marks * log_expit(at) + (1 - marks) * log_expit(-at)).sum(axis=0))
