"""Every family has its own slope (2PL)."""

import numpy as np

from trainer.core.measurement.calibration.derivatives import Blocks
from trainer.core.measurement.calibration.prior import Prior
from trainer.core.measurement.response_model import Floats

LEAST_AREA = 1e-12
"""Where a slope runs away its curvature vanishes; steps are cut anyway."""


class TwoParameter:
    """Slope and intercept are free in every family. Contract: `model.Model`."""

    own, fewest = 2, 3

    def prior(self, prior: Prior, families: int) -> Prior:
        """The prior as each family bears it: whole."""
        return prior

    def step(self, at: Blocks) -> tuple[Floats, Floats]:
        """Newton's step in each family on its own."""
        area = np.maximum(at.aa * at.dd - at.ad**2, LEAST_AREA)
        by_a = (at.dd * at.by_a - at.ad * at.by_d) / area
        return by_a, (at.aa * at.by_d - at.ad * at.by_a) / area

    def gathered(self, rows: Floats) -> Floats:
        """Everything is free: as given."""
        return rows

    def spread(self, change: Floats) -> Floats:
        """Everything is free: as given."""
        return change
