"""What is believed of slopes and difficulties before the responses are read."""

from dataclasses import dataclass, replace

import numpy as np

from trainer.core.measurement.calibration.derivatives import Blocks
from trainer.core.measurement.response_model import Floats

LOG_SLOPE_SD = 0.5
DIFFICULTY_SD = 2.0


@dataclass(frozen=True, slots=True)
class Prior:
    """A density on slope and difficulty themselves (not on log slope or intercept).

    a ~ lognormal(0, `log_slope_sd`), b ~ N(`mean`, `sd`); None: flat. `mean`: a number or
    (families,). `share`: the part of the slope's prior that each family bears; 1 / families
    where one slope is common to all. `on_log`: the slope's density is that of ln a, whose mode is
    the median (a lognormal's own mode lies 22 % below it). `told`: the share of what is known of b
    that responses tell, 0..1; averaging over b instead of taking its mode weighs a slope by
    a^-told.
    """

    log_slope_sd: float | None = None
    sd: float | Floats | None = None
    mean: float | Floats = 0.0
    share: float = 1.0
    on_log: bool = False
    told: float | Floats = 0.0

    @property
    def flat(self) -> bool:
        """Whether it says nothing."""
        return self.log_slope_sd is None and self.sd is None

    def log_density(self, a: Floats, d: Floats) -> float:
        """Log density up to a constant; minus infinity where such a slope is not above 0."""
        found = 0.0
        if self.log_slope_sd is not None:
            if (a <= 0).any():
                return -np.inf
            logs = np.log(a)
            skew = 0 if self.on_log else logs
            found -= self.share * float((skew + logs**2 / (2 * self.log_slope_sd**2)).sum())
        if self.sd is not None:
            found -= float((((-d / a - self.mean) / self.sd) ** 2).sum()) / 2
            found -= float((self.told * np.log(np.abs(a))).sum())
        return found

    def added_to(self, likelihood: Blocks, a: Floats, d: Floats, exact: bool = True) -> Blocks:
        """The likelihood's derivatives with the prior's added.

        `exact=False` keeps only what bends downwards, so that the matrix stays definite.
        """
        by_a, by_d = likelihood.by_a, likelihood.by_d
        aa, ad, dd = likelihood.aa, likelihood.ad, likelihood.dd
        if self.log_slope_sd is not None:
            precision, logs = 1 / self.log_slope_sd**2, np.log(a)
            skew = 0 if self.on_log else 1
            by_a = by_a - self.share * (skew + precision * logs) / a
            bend = (precision * (1 - logs) - skew) / a**2
            aa = aa + self.share * (bend if exact else np.maximum(bend, 0.0))
        if self.sd is not None:
            b, hold = -d / a, 1 / np.square(self.sd)
            off, b_by_a, b_by_d = b - self.mean, -b / a, -1 / a
            by_a = by_a - hold * off * b_by_a
            by_d = by_d - hold * off * b_by_d
            by_a, aa = by_a - self.told / a, aa - (self.told / a**2 if exact else 0.0)
            turn = off if exact else np.zeros_like(off)
            aa = aa + hold * (b_by_a**2 + turn * 2 * b / a**2)
            ad = ad + hold * (b_by_a * b_by_d + turn / a**2)
            dd = dd + hold * b_by_d**2
        return Blocks(by_a, by_d, aa, ad, dd)

    def expected(self, likelihood: Blocks, a: Floats, d: Floats) -> Blocks:
        """Second derivatives with the prior's Fisher information in them, never indefinite.

        That of ln a is 1 / `log_slope_sd`^2 wherever a lies, as that of b is 1 / `sd`^2.
        """
        found = replace(self, log_slope_sd=None).added_to(likelihood, a, d, exact=False)
        if self.log_slope_sd is None:
            return found
        return replace(found, aa=found.aa + self.share / (self.log_slope_sd * a) ** 2)


NONE = Prior()
DEFAULT = Prior(LOG_SLOPE_SD, DIFFICULTY_SD)
