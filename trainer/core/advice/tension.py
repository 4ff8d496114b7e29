"""The pull on a hair: a teaching model, never a medical limit.

Fibres are taken as round and even; elliptical (tightly curled) fibres break that assumption.
"""

from math import pi
from typing import Literal

from trainer.core.knowledge.quantity import (
    GF_IN_N,
    MG_IN_G,
    MPA_UM2_IN_N,
    UM2_CM_IN_CM3,
)

Band = Literal["light", "watch", "too heavy"]


def area_um2(diameter_um: float) -> float:
    """Cross-section [µm²] of a round fibre: pi d² / 4. diameter_um > 0."""
    _above_zero(diameter_um=diameter_um)
    return pi * diameter_um**2 / (2 * 2)


def breaking_force_n(diameter_um: float, stress_mpa: float) -> float:
    """Force [N] that breaks one hair: break stress x cross-section, F = s pi d² / 4.

    stress_mpa > 0 [MPa]: fact hair.break_stress (Journal of Cosmetic Science 72, table II).
    """
    _above_zero(stress_mpa=stress_mpa)
    return stress_mpa * area_um2(diameter_um) * MPA_UM2_IN_N


def breaking_force_gf(diameter_um: float, stress_mpa: float) -> float:
    """The same in gram-force."""
    return breaking_force_n(diameter_um, stress_mpa) / GF_IN_N


def natural_hairs(section_cm2: float, per_cm2: float) -> float:
    """Own hairs in a section: density x area. Both > 0."""
    _above_zero(section_cm2=section_cm2, per_cm2=per_cm2)
    return section_cm2 * per_cm2


def strand_mass_mg(length_cm: float, diameter_um: float, density_g_per_cm3: float) -> float:
    """Mass [mg] of one round hair: length x cross-section x fibre density. All > 0."""
    _above_zero(length_cm=length_cm, density_g_per_cm3=density_g_per_cm3)
    return length_cm * area_um2(diameter_um) * UM2_CM_IN_CM3 * density_g_per_cm3 / MG_IN_G


def hairs_in(
    mass_g: float, length_cm: float, diameter_um: float, density_g_per_cm3: float
) -> float:
    """How many hairs of this length and thickness weigh mass_g [g] (> 0)."""
    _above_zero(mass_g=mass_g)
    return mass_g / (strand_mass_mg(length_cm, diameter_um, density_g_per_cm3) * MG_IN_G)


def load_per_hair_gf(mass_g: float, hairs: float, share: float = 1.0) -> float:
    """Resting pull [gf] on each own hair that carries: mass / (hairs x share).

    hairs > 0; share (0, 1] of them that really carry. Standing weight in air only.
    """
    _above_zero(mass_g=mass_g, hairs=hairs, share=share)
    if share > 1:
        raise ValueError(f"{share=} is above 1")
    return mass_g / (hairs * share)


def wet_mass_g(mass_g: float, gain_percent: float) -> float:
    """Mass [g] of hair soaked through: dry mass x (1 + gain / 100); gain_percent >= 0 (fact
    hair.wet_gain)."""
    _above_zero(mass_g=mass_g)
    if gain_percent < 0:
        raise ValueError(f"{gain_percent=} is below 0")
    return mass_g * (1 + gain_percent / 100)


def turning_pull_gf_mm(load_gf: float, distance_mm: float) -> float:
    """Turning effect [gf mm] at the scalp of a load held at a distance: load x lever arm.

    The stiff attachment is the lever; distance_mm >= 0 from the scalp.
    """
    if load_gf < 0 or distance_mm < 0:
        raise ValueError(f"{load_gf=}, {distance_mm=}")
    return load_gf * distance_mm


def margin(breaking_gf: float, load_gf: float) -> float:
    """How many times the resting load would have to grow to break (or pluck) one hair."""
    _above_zero(breaking_gf=breaking_gf, load_gf=load_gf)
    return breaking_gf / load_gf


def band(added_g: float, own_g: float, added_hairs: float, own_hairs: float) -> Band:
    """How an attachment sits against its section, as practice puts it, not medicine.

    'light': neither heavier nor more hairs than the hair it hangs on; 'watch': one of the
    two; 'too heavy': both (fact section.not_heavier: a dermatologist's advice, weak source).
    """
    _above_zero(added_g=added_g, own_g=own_g, added_hairs=added_hairs, own_hairs=own_hairs)
    over = (added_g > own_g) + (added_hairs > own_hairs)
    bands: tuple[Band, Band, Band] = ("light", "watch", "too heavy")
    return bands[over]


def _above_zero(**values: float) -> None:
    for name, value in values.items():
        if not value > 0:
            raise ValueError(f"{name}={value} is not above 0")
