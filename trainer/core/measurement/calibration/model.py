"""Which parameters are free: a slope for each family, or one for all."""

from typing import Protocol

from trainer.core.measurement.calibration.derivatives import Blocks
from trainer.core.measurement.calibration.prior import Prior
from trainer.core.measurement.response_model import Floats


class Model(Protocol):
    """The free parameters behind slopes and intercepts.

    All parameters of all families stand in one vector: slopes a, then intercepts d.
    """

    own: int
    """Free parameters that each family has to itself."""
    fewest: int
    """Families without which a flat prior leaves nothing to tell parameters apart."""

    def prior(self, prior: Prior, families: int) -> Prior:
        """The prior as each family bears it."""

    def step(self, at: Blocks) -> tuple[Floats, Floats]:
        """Newton's step of the expected log-likelihood: changes of a and of d, (families,)."""

    def gathered(self, rows: Floats) -> Floats:
        """Derivatives by the free parameters from those by all; also of a matrix's rows."""

    def spread(self, change: Floats) -> Floats:
        """Changes of all parameters from changes of the free ones; also of a matrix's columns."""
