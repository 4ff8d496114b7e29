"""A strand's hairs, a density -> the smallest section with at least as many own hairs."""

from trainer.core.advice.tension import natural_hairs
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method hangs single strands on sections of own hair."""
    return method in recipe.settings["strand_hairs"]


def work_out(case: Case) -> Draft | None:
    """Sections in order of size: one too small by far, one just too small, one that does, one
    larger than it need be."""
    settings = case.recipe.settings
    per_cm2 = case.draw.branch("density").one(settings["per_cm2"])
    strand = case.draw.branch("strand").one(settings["strand_hairs"][case.method.id])
    sizes = case.draw.branch("sizes").some(settings["sizes_mm"][case.method.id], settings["shown"])
    held = {
        (wide, deep): natural_hairs(wide * deep / settings["mm2_in_cm2"], per_cm2)
        for wide, deep in sizes
    }
    order = sorted(held, key=lambda size: held[size])
    enough = [size for size in order if held[size] >= strand]
    clear = settings["clear"][case.step]
    if not enough or len(enough) == len(order):
        return None
    right, below = enough[0], order[order.index(enough[0]) - 1]
    if held[right] < strand * clear or held[below] * clear > strand:
        return None
    if len({round(hairs) for hairs in held.values()}) < len(held):
        return None
    who = case.somebody("client")
    texts = {size: f"{size[0]:g} mm by {size[1]:g} mm" for size in order}
    told = {"per_cm2": per_cm2, "strand": strand}
    return Draft(
        stem=case.say("stems", **told, **who.words()),
        explanation=case.say("why", text=texts[right], held=round(held[right]), **told),
        givens={**told, "sections": {texts[size]: list(size) for size in order}},
        facts=("hair.density", "section.not_heavier"),
        critical=False,
        features={"steps": 2.0, "nearness": 1 / clear, "closeness": 1.0},
        offers=tuple(
            _offer(case, texts[size], size == right, held[size] < strand) for size in order
        ),
    )


def _offer(case: Case, text: str, right: bool, too_small: bool) -> Offer:
    if right:
        return Offer(text, True, text)
    word = "too_small" if too_small else "too_large"
    return wrong(text, text, case.named_belief(word), case.say(word))
