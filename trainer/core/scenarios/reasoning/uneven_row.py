"""A weft on a row whose carriers are uneven -> what each of those that carry really takes."""

from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.answers import number_answer
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method hangs a weft on a row of carriers."""
    return method in recipe.settings["carriers"]


def work_out(case: Case) -> Draft | None:
    """Mass over the few that stand higher; slips: over all of them, over those that hang loose."""
    settings = case.recipe.settings
    usual = settings["carriers"][case.method.id]
    count = case.draw.between(*usual["count"])
    loose = usual.get("least_loose", count - count // 2)
    carry = case.draw.branch("carry").between(1, max(1, count - loose))
    mass_g = case.draw.branch("mass").one(usual["grams"])
    value = mass_g / carry
    tolerance = max(settings["least_tolerance"], value * settings["tolerance_percent"] / 100)
    who = case.somebody("client")
    given = {"count": count, "carry": carry, "mass_g": mass_g}
    words = given | {"carriers": usual["word"], "one": usual["one"]}
    return Draft(
        stem=case.say("stems", **words, **who.words()),
        explanation=case.say(
            "why", value=f"{value:.3g}", even=f"{mass_g / count:.3g}", **words, **who.words()
        ),
        givens=given,
        facts=tuple(usual["facts"]),
        critical=False,
        features={"steps": 1.0 + (carry > 1), "nearness": carry / count},
        answer=number_answer(
            case,
            round(value, 2),
            "g",
            round(tolerance, 2),
            {"even": mass_g / count, "the_rest": mass_g / (count - carry)},
        ),
    )
