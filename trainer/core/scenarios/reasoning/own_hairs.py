"""Section and density -> how many own hairs carry one attachment. A teaching model."""

from trainer.core.advice.tension import natural_hairs
from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.answers import number_answer
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method hangs hair on sections of own hair."""
    found = bank.methods[method]
    return found.bonded and not found.loose_when and method not in recipe.settings["not_for"]


def work_out(case: Case) -> Draft | None:
    """Own hairs = density x area; slips: millimetres taken for centimetres, one side only,
    the size of what sits on the section."""
    settings = case.recipe.settings
    usual = settings["sections_mm"].get(case.method.id, settings["sections_mm"]["other"])
    width_mm = case.draw.branch("width").one(usual["wide"])
    depth_mm = case.draw.branch("depth").one(usual["deep"])
    nature = case.bank.attributes["density_per_cm2"]
    per_cm2 = case.draw.branch("density").one(settings["per_cm2"])
    if not (nature.low or 0) <= per_cm2 <= (nature.high or 0):
        return None
    mm_in_cm = settings["mm_in_cm"]
    area_cm2 = width_mm / mm_in_cm * depth_mm / mm_in_cm
    value = natural_hairs(area_cm2, per_cm2)
    pieces = settings["piece_mm"]
    piece = case.draw.branch("piece").one(pieces.get(case.method.id, pieces["other"]))
    slips = {
        "piece": natural_hairs(piece[0] / mm_in_cm * piece[1] / mm_in_cm, per_cm2),
        "square_units": area_cm2 * mm_in_cm * per_cm2,
        "one_side": width_mm / mm_in_cm * per_cm2,
    }
    tolerance = max(1, round(value * settings["tolerance_percent"] / 100))
    who = case.somebody("client")
    given = {"width_mm": width_mm, "depth_mm": depth_mm, "per_cm2": per_cm2}
    return Draft(
        stem=case.say("stems", piece_wide=piece[0], piece_high=piece[1], **given, **who.words()),
        explanation=case.say("why", area=f"{area_cm2:.2f}", value=round(value), **given),
        givens={**given, "asked": "own hairs in the section"},
        facts=("hair.density", "section.not_heavier"),
        critical=False,
        features={"steps": 2.0},
        answer=number_answer(case, round(value), "hairs", tolerance, slips),
    )
