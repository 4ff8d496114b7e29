"""Hairs found at removal, days of wear, share held -> ordinary shedding, too many or too few."""

from trainer.core.advice.growth import shed
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.scenarios.case import Case, longest_weeks, wrong
from trainer.core.scenarios.family import Recipe

SHED = "hair.shed_per_day"
ZONES = ("ordinary", "too_many", "too_few")


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method stays on between visits."""
    return bank.methods[method].bonded and not bank.methods[method].loose_when


def work_out(case: Case) -> Draft | None:
    """Compare what came out with what shedding brings at its least and at its most."""
    settings, fact = case.recipe.settings, case.bank.facts[SHED]
    weeks = case.draw.between(settings["fewest_weeks"], longest_weeks(case))
    part, of = case.draw.branch("share").one(settings["shares"])
    days = weeks * DAYS_IN["week"]
    least, most = (shed(days, end or 0) * part / of for end in (fact.low, fact.high))
    zone = case.draw.branch("zone").one(ZONES)
    share = case.draw.branch("count").one(settings["counts"][zone])
    base = least if zone == "too_few" else most
    step = settings["step"]
    count = round(base * share / step) * step
    if count <= 0 or (zone == "ordinary" and not least <= count <= most):
        return None
    who = case.somebody("client")
    told = {"weeks": weeks, "part": part, "of": of, "count": count}
    meanings = {case.say(one, **who.words()): one for one in (*ZONES, "all_loss")}
    return Draft(
        stem=case.say("stems", **told, **who.words()),
        explanation=case.say(
            f"why_{zone}", least=round(least), most=round(most), fact=fact, **told
        ),
        givens={
            "days": int(days),
            "share": [part, of],
            "count": count,
            "fact": SHED,
            "meanings": meanings,
        },
        facts=(SHED, "remove.shed_held"),
        critical=False,
        features={"steps": 2.0, "nearness": abs(1 - share)},
        offers=tuple(_offer(case, other, text, zone) for text, other in meanings.items()),
    )


def _offer(case: Case, other: str, text: str, zone: str) -> Offer:
    if other == zone:
        return Offer(text, True, other)
    note = "all_loss" if other == "all_loss" else zone
    return wrong(text, other, case.named_belief(other), case.say(f"note_in_{note}"))
