"""The pull of one attachment on the own hairs of its section: a teaching model, not a limit."""

from dataclasses import dataclass

from trainer.core.advice.profile import Profile
from trainer.core.advice.tension import (
    Band,
    band,
    breaking_force_gf,
    hairs_in,
    load_per_hair_gf,
    strand_mass_mg,
    wet_mass_g,
)
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.quantity import MG_IN_G

FACTS = ("hair.fibre_density", "hair.wet_gain", "hair.break_stress_wet", "section.not_heavier")


@dataclass(frozen=True, slots=True)
class Load:
    """One attachment of `mass_g` [g] on a section with as many own hairs as the lightest has.

    `dry_mg`, `wet_mg`: what each own hair carries at rest, as a weight [mg]; `breaks_gf`: what
    one wet hair of this thickness bears at the least [gf]; `heavier`, `more`: than the own hair
    it hangs on, by weight and by number; `band`: what practice makes of that; `facts`: ids.
    """

    mass_g: float
    own_hairs: float
    dry_mg: float
    wet_mg: float
    breaks_gf: float
    heavier: bool
    more: bool
    band: Band
    facts: tuple[str, ...]


def loads(bank: Bank, method: str, profile: Profile) -> tuple[Load, ...]:
    """The lightest and the heaviest usual attachment; () where a figure is missing.

    Own hairs: `hairs_in` of the lightest at the wished length (as in the plan's section). Own
    weight: those hairs at the client's own length. Formulas and sources: see `tension`.
    """
    mass = bank.role(method, "strand_mass")
    figures = [profile.get(name) for name in ("wanted_length_cm", "hair_length_cm", "strand_um")]
    there = all(name in bank.facts for name in FACTS)
    if mass is None or not mass.low or not mass.high or not there or None in figures:
        return ()
    added_cm, own_cm, um = (float(value) for value in figures if value is not None)
    density = bank.bound("hair.fibre_density/low")
    own_hairs = hairs_in(mass.low, added_cm, um, density)
    own_g = own_hairs * strand_mass_mg(own_cm, um, density) * MG_IN_G
    gain = bank.bound("hair.wet_gain/high")
    breaks = breaking_force_gf(um, bank.bound("hair.break_stress_wet/low"))
    made = []
    for grams in dict.fromkeys((mass.low, mass.high)):
        hairs = hairs_in(grams, added_cm, um, density)
        made.append(
            Load(
                grams,
                own_hairs,
                load_per_hair_gf(grams, own_hairs) / MG_IN_G,
                load_per_hair_gf(wet_mass_g(grams, gain), own_hairs) / MG_IN_G,
                breaks,
                grams > own_g,
                hairs > own_hairs,
                band(grams, own_g, hairs, own_hairs),
                (mass.id, *FACTS),
            )
        )
    return tuple(made)
