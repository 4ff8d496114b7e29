"""Weeks since it was last set and a rate of growth -> how far the attachment has moved."""

from trainer.core.advice.growth import grown_mm
from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.answers import number_answer
from trainer.core.scenarios.case import Case, has_key_role, longest_weeks
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method is set at a distance from the scalp."""
    return has_key_role(bank, method, ["scalp_distance"])


def work_out(case: Case) -> Draft | None:
    """Distance = rate x days since it was last set, added to where it was placed then."""
    settings, fact = case.recipe.settings, case.bank.facts["hair.growth_um_per_day"]
    weeks = case.draw.between(settings["fewest_weeks"], longest_weeks(case))
    rate = case.draw.branch("rate").one(settings["rates_um"])
    if not (fact.low or 0) <= rate <= (fact.high or 0):
        return None
    placed = case.role("scalp_distance")
    placed_mm = case.draw.branch("placed").between(int(placed.low or 0), int(placed.high or 0))
    days = weeks * DAYS_IN["week"]
    grown = grown_mm(days, rate)
    value = placed_mm + grown
    first = weeks + case.draw.branch("before").one(settings["before"])
    slips = {
        "forgets_start": grown,
        "weeks_for_days": placed_mm + grown_mm(weeks, rate),
        "whole_time": placed_mm + grown_mm(first * DAYS_IN["week"], rate),
    }
    given = {
        "first": first,
        "weeks": weeks,
        "rate": rate / settings["um_in_mm"],
        "placed_mm": placed_mm,
    }
    who = case.somebody("client")
    return Draft(
        stem=case.say("stems", **given, **who.words()),
        explanation=case.say(
            "why", days=int(days), grown=f"{grown:.1f}", value=round(value), **given
        ),
        givens={"days": int(days), "rate_um_per_day": rate, "placed_mm": placed_mm},
        facts=(fact.id, placed.id),
        critical=False,
        features={"steps": 2.0},
        answer=number_answer(case, round(value), "mm", settings["tolerance_mm"], slips),
    )
