"""How often families were shown, and how much two forms share."""

from dataclasses import dataclass

from trainer.core.measurement.response_model import Floats


@dataclass(frozen=True, slots=True)
class Exposure:
    """Exposure over forms.

    `rates`: (families,) share of forms that hold each family, 0..1. `overlap`: mean share of
    families that two different forms have in common, over all pairs of forms; NaN for one form.
    `unused`: how many families no form held.
    """

    rates: Floats
    overlap: float
    unused: int


def exposure(held: Floats, forms: int) -> Exposure:
    """Exposure rates and overlap of forms.

    Parameters
    ----------
    held : (families,) how many forms hold each family, 0..forms
    forms : how many forms there are, >= 1

    overlap = pairs of forms that share a family, summed over families, divided by the number of
    pairs and by the mean length of a form.

    Raises
    ------
    ValueError : If a count is out of range, or no form holds anything.

    References
    ----------
    Chen, Ankenmann & Spray 2003, Journal of Educational Measurement 40 (overlap from rates).
    """
    if forms < 1 or not held.any() or not ((held >= 0) & (held <= forms)).all():
        raise ValueError(f"{forms=}, {held=}")
    pairs = forms * (forms - 1) / 2
    shared = (held * (held - 1) / 2).sum()
    overlap = float(shared / pairs / (held.sum() / forms)) if pairs else float("nan")
    return Exposure(held / forms, overlap, int((held == 0).sum()))
