"""Quantities for people, and the physical constants, each with its source."""

from collections.abc import Mapping

from trainer.core.knowledge.fact import Fact

UNITS: Mapping[str, tuple[str, str]] = {
    "": ("", ""),
    "minute": ("minute", "minutes"),
    "hour": ("hour", "hours"),
    "day": ("day", "days"),
    "week": ("week", "weeks"),
    "month": ("month", "months"),
    "year": ("year", "years"),
    "mm": ("mm", "mm"),
    "cm": ("cm", "cm"),
    "µm": ("µm", "µm"),
    "µm/day": ("µm a day", "µm a day"),
    "cm/month": ("cm a month", "cm a month"),
    "g": ("g", "g"),
    "gf": ("gf", "gf"),
    "g/cm³": ("g/cm³", "g/cm³"),
    "g/µm²": ("g/µm²", "g/µm²"),
    "MPa": ("MPa", "MPa"),
    "ml": ("ml", "ml"),
    "m³": ("m³", "m³"),
    "g/ml": ("g/ml", "g/ml"),
    "g/mol": ("g/mol", "g/mol"),
    "hair": ("hair", "hairs"),
    "hair/day": ("hair a day", "hairs a day"),
    "hair/cm²": ("hair per cm²", "hairs per cm²"),
    "hair/wash": ("hair a wash", "hairs a wash"),
    "%": ("%", "%"),
    "°": ("degree", "degrees"),
    "°C": ("°C", "°C"),
    "ppm": ("ppm", "ppm"),
    "pH": ("", ""),
    "ratio": ("times", "times"),
    "second": ("second", "seconds"),
    "person": ("person", "people"),
    "piece": ("piece", "pieces"),
}
"""Unit as written in the bank -> how people say one and several."""

DAYS_IN: Mapping[str, float] = {
    "hour": 1 / 24,
    "day": 1.0,
    "week": 7.0,
    "month": 365.2425 / 12,
    "year": 365.2425,
}
"""Days in a unit of time; a month is a twelfth of the Gregorian year's mean 365.2425 days."""

STANDARD_GRAVITY = 9.80665
"""m/s², exact by definition: CGPM 1901, Resolution 2. One gram-force is 9.80665 mN."""


def in_words(value: float) -> str:
    """A number as people write it: no needless decimals, thousands set off."""
    return f"{value:,.6g}" if abs(value) >= THOUSAND else f"{value:g}"


def quantity(low: float | None, high: float | None, unit: str) -> str:
    """'4 to 8 weeks', '1 week', '0.5 to 1 g'; '' when there is no figure."""
    if low is None or high is None:
        return ""
    one, several = UNITS[unit]
    name = one if low == high == 1 else several
    figure = in_words(low) if low == high else f"{in_words(low)} to {in_words(high)}"
    return f"{figure}{name}" if name == "%" else f"{figure} {name}".strip()


def said(fact: Fact) -> str:
    """The statement with its figures in place."""
    if fact.low is None or fact.high is None:
        return fact.statement
    one, several = UNITS[fact.unit]
    return fact.statement.format(
        low=in_words(fact.low),
        high=in_words(fact.high),
        unit=one if fact.low == fact.high == 1 else several,
    )


THOUSAND = 1000

BASIS_WORDS: Mapping[str, str] = {
    "published": "published",
    "secondhand": "published, seen through another page",
    "weak": "weak source",
    "common_practice": "usual salon practice, no published source",
    "computed": "worked out from published figures",
    "unconfirmed": "unconfirmed: nobody is marked on this",
}
"""How each kind of basis is said on a screen."""

GF_IN_N = STANDARD_GRAVITY / 1000
"""N in one gram-force."""
MPA_UM2_IN_N = 1e-6
"""N in one megapascal on one square micrometre: 1e6 N/m² x 1e-12 m²."""
UM2_CM_IN_CM3 = 1e-8
"""cm³ in one µm² of cross-section over one cm of length."""
MG_IN_G = 1e-3
"""g in one mg."""
MM_IN_UM = 1e-3
"""mm in one µm."""

GAS_CONSTANT = 8.31446261815324
"""J/(mol K), exact by definition: SI Brochure, 9th edition (k x N_A)."""
MOLAR_VOLUME_L = GAS_CONSTANT * (25 + 273.15) / 101.325
"""Litres a mole of gas fills at 25 °C and one standard atmosphere: 24.47 (24.45 in tables of
workplace limits, which round the gas constant)."""
L_IN_M3 = 1000
PARTS_IN_A_MILLION = 1_000_000
