"""Weeks since it was last combed out, and the share held -> shed hairs to expect."""

from trainer.core.advice.growth import shed
from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.answers import number_answer
from trainer.core.scenarios.case import Case, longest_weeks
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method stays on between visits."""
    return bank.methods[method].bonded and not bank.methods[method].loose_when


def work_out(case: Case) -> Draft | None:
    """How many hairs could not fall and come out together at removal."""
    settings, fact = case.recipe.settings, case.bank.facts["hair.shed_per_day"]
    weeks = case.draw.between(settings["fewest_weeks"], longest_weeks(case))
    part, of = case.draw.branch("share").one(settings["shares"])
    per_day = case.draw.branch("rate").one(settings["rates"])
    if not (fact.low or 0) <= per_day <= (fact.high or 0):
        return None
    days = weeks * DAYS_IN["week"]
    value = shed(days, per_day) * part / of
    first = weeks + case.draw.branch("before").one(settings["before"])
    slips = {
        "whole_time": shed(first * DAYS_IN["week"], per_day) * part / of,
        "whole_head": shed(days, per_day),
        "weeks_for_days": shed(weeks, per_day) * part / of,
    }
    who = case.somebody("client")
    tolerance = round(value * settings["tolerance_percent"] / 100)
    return Draft(
        stem=case.say(
            "stems", first=first, weeks=weeks, part=part, of=of, per_day=per_day, **who.words()
        ),
        explanation=case.say(
            "why",
            weeks=weeks,
            days=int(days),
            part=part,
            of=of,
            per_day=per_day,
            value=round(value),
        ),
        givens={"days": int(days), "per_day": per_day, "share": [part, of], "fact": fact.id},
        facts=(fact.id,),
        critical=False,
        features={"steps": 2.0 + (part > 1)},
        answer=number_answer(case, round(value), "hairs", tolerance, slips),
    )
