"""Lengths at several places, and where it is to sit -> which clients have hair enough there."""

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, has_key_role, wrong
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method's least length of own hair may be keyed."""
    return has_key_role(bank, method, ["minimum_length"])


def work_out(case: Case) -> Sketch | None:
    """The length that counts is that of the place where it would sit."""
    fact, settings = case.role("minimum_length"), case.recipe.settings
    shown = settings["shown"][case.step]
    kinds = [case.draw.branch(f"kind {n}").one(settings["kinds"]) for n in range(shown)]
    right = [kind for kind in kinds if kind.startswith("enough")]
    if not right or len(right) == len(kinds):
        return None
    offers, told = [], {}
    names: list[str] = []
    for n, kind in enumerate(kinds):
        there, elsewhere = _lengths(case, n, kind, fact.low or 0, fact.high or 0)
        place, other = case.draw.branch(f"place {n}").some(settings["places"], 2)
        who = case.somebody(f"client {n}", other_than=names[-1] if names else "")
        if who.name in names:
            return None
        names.append(who.name)
        order = case.draw.branch(f"order {n}").one(("option_first", "option_second"))
        text = case.say(order, who=who.name, at=place, cm=there, other=other, more=elsewhere)
        told[text] = {"cm_where_it_sits": there, "cm_elsewhere": elsewhere}
        offers.append(_offer(case, text, kind))
    return Sketch(
        tuple(offers),
        lambda: Draft(
            stem=case.say("stems"),
            explanation=case.say("why", fact=fact),
            givens={"clients": told, "least_fact": fact.id},
            facts=(fact.id,),
            critical=False,
            features={"cues": float(shown), "causes": float(len(right)), "nearness": 1.0},
            offers=tuple(offers),
        ),
    )


def _lengths(case: Case, n: int, kind: str, low: float, high: float) -> tuple[int, int]:
    """By the careful end of the usual least length: what only other salons accept is short."""
    draw, far = case.draw.branch(f"cm {n}"), case.recipe.settings["far_cm"]
    enough = int(high) + draw.between(1, far)
    short = draw.between(max(2, int(low) - 2 - 2), int(high) - 1)
    there = enough if kind.startswith("enough") else short
    elsewhere = short if kind.endswith("short_elsewhere") else enough + draw.between(0, far)
    return there, elsewhere


def _offer(case: Case, text: str, kind: str) -> Offer:
    if kind.startswith("enough"):
        return Offer(text, True, text)
    return wrong(text, text, case.named_belief("longest_counts"), case.say("longest_counts"))
