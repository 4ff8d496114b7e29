"""Amounts of a solvent and rooms -> where the air would go above the limit of a working day."""

from collections.abc import Mapping
from typing import Any

from trainer.core.advice.vapour import vapour_ppm
from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether a solvent with a published limit is used at the method's removal."""
    return method in recipe.settings["solvent_of"]


def work_out(case: Case) -> Sketch | None:
    """Everything dried, windows shut: share of the air against the limit, well clear of it."""
    settings = case.recipe.settings
    solvent = settings["solvents"][settings["solvent_of"][case.method.id]]
    fact = case.bank.facts[solvent["limit_fact"]]
    clear = settings["clear"][case.step]
    rooms = _rooms(case, solvent, fact.high or 0, clear)
    if rooms is None:
        return None
    offers = [_offer(case, text, above) for text, (above, _) in rooms.items()]
    right = sum(offer.right for offer in offers)
    if right == 0 or right == len(offers):
        return None
    known = _known(solvent)
    return Sketch(
        tuple(offers),
        lambda: Draft(
            stem=case.say("stems", **known),
            explanation=case.say("why", fact=fact, **known),
            givens={
                "rooms": {text: given for text, (_, given) in rooms.items()},
                "known": {k: known[k] for k in ("known_ml", "known_m3", "known_ppm")},
                "limit_fact": fact.id,
            },
            facts=(fact.id, "solvent.never_near_heat"),
            critical=False,
            features={"steps": 2.0, "cues": float(len(offers)), "nearness": 1 / clear},
            offers=tuple(offers),
        ),
    )


ORDERS = ("option_first", "option_second")
Room = tuple[bool, dict[str, float]]


def _rooms(
    case: Case, solvent: Mapping[str, Any], limit: float, clear: float
) -> dict[str, Room] | None:
    """Option -> (above the limit, its figures); None where one lies too near, or two are alike."""
    settings, found = case.recipe.settings, {}
    for n in range(settings["shown"][case.step]):
        draw = case.draw.branch(f"room {n}")
        millilitres, cubic = draw.one(settings["millilitres"]), draw.one(settings["room_m3"])
        share = vapour_ppm(millilitres, solvent["g_per_ml"], solvent["g_per_mol"], cubic)
        text = case.say(draw.one(ORDERS), ml=millilitres, m3=cubic)
        if limit / clear < share < limit * clear or text in found:
            return None
        found[text] = (share > limit, {"ml": millilitres, "room_m3": cubic})
    return found


def _known(solvent: Mapping[str, Any]) -> dict[str, Any]:
    """The measure that the stem gives: so much in such a room makes about so much."""
    of = solvent["g_per_ml"], solvent["g_per_mol"]
    share = vapour_ppm(solvent["known_ml"], *of, solvent["known_m3"])
    kept = {name: solvent[name] for name in ("name", "known_ml", "known_m3")}
    return kept | {"known_ppm": round(share, -1)}


def _offer(case: Case, text: str, above: bool) -> Offer:
    if above:
        return Offer(text, True, text, case.named_belief("missed").id, case.say("missed"))
    return wrong(text, text, case.named_belief("any_smell"), case.say("any_smell"))
