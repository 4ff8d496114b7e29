"""Four attachments on four sections -> the one whose hairs carry most each."""

from trainer.core.advice.tension import load_per_hair_gf
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method hangs pieces on counted sections of own hair."""
    return method in recipe.settings["grams"]


def work_out(case: Case) -> Draft | None:
    """Neither the heaviest piece nor the thinnest section: the load is what one hair carries."""
    settings = case.recipe.settings
    grams, hairs = settings["grams"][case.method.id], settings["hairs"][case.method.id]
    draw = case.draw.branch("pairs")
    pairs = list(
        zip(draw.some(grams, settings["shown"]), draw.some(hairs, settings["shown"]), strict=True)
    )
    by_load = sorted(pairs, key=lambda pair: load_per_hair_gf(*pair))
    worst, next_to_it = by_load[-1], by_load[-2]
    clear = settings["clear"][case.step]
    if load_per_hair_gf(*worst) < load_per_hair_gf(*next_to_it) * clear:
        return None
    heaviest, thinnest = max(pairs), min(pairs, key=lambda pair: pair[1])
    if heaviest == thinnest:
        return None
    slips = {heaviest: "heaviest", thinnest: "thinnest"}
    if worst in slips and case.draw.branch("plain").fraction() > settings["plain_share"]:
        return None
    who = case.somebody("client")
    texts = {pair: case.say("option", grams=f"{pair[0]:.1f}", hairs=pair[1]) for pair in pairs}
    mg = round(load_per_hair_gf(*worst) * settings["mg_in_g"], 1)
    return Draft(
        stem=case.say("stems", **who.words()),
        explanation=case.say("why", text=texts[worst], mg=mg),
        givens={"options": {texts[pair]: list(pair) for pair in pairs}},
        facts=("section.not_heavier", "traction.how_hard_how_long"),
        critical=False,
        features={"steps": 2.0, "nearness": 1 / clear, "closeness": 1.0},
        offers=tuple(
            _offer(case, texts[pair], pair == worst, slips.get(pair, "looks_even"))
            for pair in pairs
        ),
    )


def _offer(case: Case, text: str, right: bool, slip: str) -> Offer:
    if right:
        return Offer(text, True, text)
    return wrong(text, text, case.named_belief(slip), case.say(slip))
