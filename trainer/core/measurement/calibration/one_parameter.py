"""All families share one slope, which is estimated (1PL; Rasch's model with a free spread)."""

from dataclasses import replace

import numpy as np

from trainer.core.measurement.calibration.derivatives import Blocks
from trainer.core.measurement.calibration.prior import Prior
from trainer.core.measurement.response_model import Floats

LEAST = 1e-12
"""Where parameters run away their curvature vanishes; steps are cut anyway."""


class OneParameter:
    """One slope and each family's intercept are free. Contract: `model.Model`.

    With ability ~ N(0, 1) and slope a this is the Rasch model with ability ~ N(0, a^2) and
    difficulties a b.
    """

    own, fewest = 1, 2

    def prior(self, prior: Prior, families: int) -> Prior:
        """The slope's prior counts once, so each family bears a share."""
        return replace(prior, share=1 / families)

    def step(self, at: Blocks) -> tuple[Floats, Floats]:
        """Newton's step with the intercepts eliminated."""
        tie = at.ad / np.maximum(at.dd, LEAST)
        by_a = (at.by_a - tie * at.by_d).sum() / max(float((at.aa - tie * at.ad).sum()), LEAST)
        return np.full_like(at.by_a, by_a), (at.by_d - at.ad * by_a) / np.maximum(at.dd, LEAST)

    def gathered(self, rows: Floats) -> Floats:
        """The slopes' rows summed into one, which comes first."""
        families = len(rows) // 2
        return np.concatenate([rows[:families].sum(axis=0, keepdims=True), rows[families:]])

    def spread(self, change: Floats) -> Floats:
        """The common slope repeated for every family."""
        families = len(change) - 1
        return np.concatenate([np.repeat(change[:1], families, axis=0), change[1:]])
