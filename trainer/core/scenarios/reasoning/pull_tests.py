"""Counts from gentle pull tests -> which of them call for a look before anything is fitted."""

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe

NORMAL = "pull_test.normal"


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """The pull test comes before every method."""
    return bank.facts[NORMAL].may_key


def work_out(case: Case) -> Sketch | None:
    """Whole hairs count, snapped pieces do not; the limit is the fact's."""
    fact, settings = case.bank.facts[NORMAL], case.recipe.settings
    limit, shown = int(fact.high or 0), settings["shown"][case.step]
    offers, told, names = [], {}, []
    for n in range(shown):
        draw = case.draw.branch(f"test {n}")
        high = draw.chance(settings["high_share"])
        whole = limit + draw.between(*settings["over"]) if high else draw.between(0, limit)
        pieces = draw.one(settings["pieces"]) if not high else draw.between(0, 1)
        held = draw.one(settings["held"])
        who = case.somebody(f"client {n}")
        if who.name in names:
            return None
        names.append(who.name)
        text = case.say("option", who=who.name, held=held, whole=whole, pieces=pieces)
        told[text] = {"held": held, "whole_hairs": whole, "snapped_pieces": pieces}
        offers.append(_offer(case, text, high, pieces))
    right = sum(offer.right for offer in offers)
    if right == 0 or right == shown:
        return None
    return Sketch(
        tuple(offers),
        lambda: Draft(
            stem=case.say("stems"),
            explanation=case.say("why", fact=fact),
            givens={"tests": told, "limit_fact": NORMAL},
            facts=(NORMAL,),
            critical=True,
            features={"cues": float(shown), "causes": float(right), "nearness": 1.0},
            offers=tuple(offers),
        ),
    )


def _offer(case: Case, text: str, high: bool, pieces: int) -> Offer:
    if high:
        return Offer(text, True, text, case.named_belief("missed").id, case.say("missed"))
    word = "pieces" if pieces else "any_hair"
    return wrong(text, text, case.named_belief(word), case.say(word))
