"""Amounts of a solvent and rooms -> where the air would go above the limit of a working day."""

from trainer.core.advice.vapour import vapour_ppm
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether a solvent with a published limit is used at the method's removal."""
    return method in recipe.settings["solvent_of"]


def work_out(case: Case) -> Draft | None:
    """Everything dried, windows shut: share of the air against the limit, well clear of it."""
    settings = case.recipe.settings
    solvent = settings["solvents"][settings["solvent_of"][case.method.id]]
    fact = case.bank.facts[solvent["limit_fact"]]
    limit, clear = fact.high or 0, settings["clear"][case.step]
    offers, told = [], {}
    for n in range(settings["shown"][case.step]):
        draw = case.draw.branch(f"room {n}")
        millilitres, cubic = draw.one(settings["millilitres"]), draw.one(settings["room_m3"])
        share = vapour_ppm(millilitres, solvent["g_per_ml"], solvent["g_per_mol"], cubic)
        if limit / clear < share < limit * clear:
            return None
        text = case.say("option", ml=millilitres, m3=cubic)
        if text in told:
            return None
        told[text] = {"ml": millilitres, "room_m3": cubic}
        offers.append(_offer(case, text, share > limit, millilitres))
    right = sum(offer.right for offer in offers)
    if right == 0 or right == len(offers):
        return None
    one = vapour_ppm(
        solvent["known_ml"], solvent["g_per_ml"], solvent["g_per_mol"], solvent["known_m3"]
    )
    known = {
        "name": solvent["name"],
        "known_ml": solvent["known_ml"],
        "known_m3": solvent["known_m3"],
        "known_ppm": round(one, -1),
    }
    return Draft(
        stem=case.say("stems", **known),
        explanation=case.say("why", fact=fact, **known),
        givens={
            "rooms": told,
            "known": {k: known[k] for k in ("known_ml", "known_m3", "known_ppm")},
            "limit_fact": fact.id,
        },
        facts=(fact.id, "solvent.never_near_heat"),
        critical=False,
        features={"steps": 2.0, "cues": float(len(offers)), "nearness": 1 / clear},
        offers=tuple(offers),
    )


def _offer(case: Case, text: str, above: bool, millilitres: float) -> Offer:
    if above:
        return Offer(text, True, text, case.named_belief("missed").id, case.say("missed"))
    return wrong(text, text, case.named_belief("any_smell"), case.say("any_smell"))
