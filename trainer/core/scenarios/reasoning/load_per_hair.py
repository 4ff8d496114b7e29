"""Mass of a piece, section, density, share that carries -> the load on each own hair."""

from trainer.core.advice.tension import load_per_hair_gf, natural_hairs
from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.answers import number_answer
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method hangs single pieces on sections of own hair."""
    return method in recipe.settings["sections_mm"]


def work_out(case: Case) -> Draft | None:
    """Load = mass / (density x area x share); a teaching model in milligrams."""
    settings = case.recipe.settings
    usual = settings["sections_mm"][case.method.id]
    width_mm, depth_mm = (case.draw.branch(w).one(usual[w]) for w in ("wide", "deep"))
    per_cm2 = case.draw.branch("density").one(settings["per_cm2"])
    mass_g = case.draw.branch("mass").one(usual["grams"])
    percent = case.draw.branch("share").one(settings["carrying_percent"][: 2 + case.step])
    hairs = natural_hairs(width_mm * depth_mm / settings["mm2_in_cm2"], per_cm2)
    mg = settings["mg_in_g"]
    value = load_per_hair_gf(mass_g, hairs, percent / 100) * mg
    if _on_a_tie(case, value):
        return None
    tolerance = max(0.5, round(value * settings["tolerance_percent"] / 100, 1))
    who, carrier = case.somebody("client"), settings["carrier"]
    piece = carrier.get(case.method.id, carrier["other"])
    given = {
        "width_mm": width_mm,
        "depth_mm": depth_mm,
        "per_cm2": per_cm2,
        "mass_g": mass_g,
        "carrying_percent": percent,
    }
    return Draft(
        stem=case.say("stems", piece=piece, **given, **who.words()),
        explanation=case.say("why", hairs=round(hairs), value=f"{value:.1f}", **given),
        givens=given,
        facts=("hair.density", "load.static_small", "section.not_heavier"),
        critical=False,
        features={"steps": 2.0 + (percent / 100 < 1), "nearness": 0.0},
        answer=number_answer(
            case,
            round(value, 1),
            "mg",
            tolerance,
            {
                "all_carry": mass_g / hairs * mg,
                "whole_cm": mass_g / (per_cm2 * percent / 100) * mg,
            },
        ),
    )


def _on_a_tie(case: Case, value: float) -> bool:
    """Whether a load [mg] lies half-way between two tenths, so that rounding may go either way."""
    settings = case.recipe.settings
    tenths: float = value * settings["tenths"]
    return bool(abs(tenths % 1 - 0.5) < settings["tie"])
