"""Fitted on a day, worn until another -> how many renewals lie between them at least."""

from datetime import date, timedelta
from math import ceil

from trainer.core.advice.waits import days_of
from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.answers import number_answer
from trainer.core.scenarios.case import Case, has_key_role
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method has a window that may be keyed."""
    return has_key_role(bank, method, ["move_up"])


def work_out(case: Case) -> Draft | None:
    """No stretch between two visits may be longer than the window's end."""
    fact, settings = case.role("move_up"), case.recipe.settings
    longest, shortest = days_of(fact, "high"), days_of(fact, "low")
    days = case.draw.between(int(longest) + settings["clear_days"], settings["most_days"])
    if min(days % longest, longest - days % longest) < settings["clear_days"]:
        return None
    fitted = date.fromisoformat(settings["from"]) + timedelta(
        days=case.draw.branch("from").between(0, settings["days"])
    )
    ends = fitted + timedelta(days=days)
    value = ceil(days / longest) - 1
    who = case.somebody("client")
    told = {"fitted": fitted, "ends": ends, "occasion": case.say("occasions")}
    weeks = days / DAYS_IN["week"]
    return Draft(
        stem=case.say("stems", **told, **who.words()),
        explanation=case.say("why", fact=fact, value=value, weeks=round(weeks, 1), **told),
        givens={"fitted": fitted.isoformat(), "worn_until": ends.isoformat(), "fact": fact.id},
        facts=(fact.id,),
        critical=False,
        features={"steps": 2.0, "nearness": float(days % longest) / longest},
        answer=number_answer(
            case,
            value,
            "visit" if value == 1 else "visits",
            0,
            {"shortest": ceil(days / shortest) - 1, "one_more": value + 1},
        ),
    )
