"""A planned attachment and four changes -> the change after which each own hair carries least."""

from trainer.core.advice.tension import load_per_hair_gf
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method hangs pieces on sections of own hair."""
    return method in recipe.settings["plans"]


def work_out(case: Case) -> Draft | None:
    """A lighter piece, a larger section, both a little; and changes that ease nothing."""
    settings = case.recipe.settings
    plan = settings["plans"][case.method.id]
    grams = case.draw.branch("grams").one(plan["grams"])
    wide, deep = case.draw.branch("size").one(plan["sizes"])
    lighter = case.draw.branch("lighter").one(settings["lighter_percent"])
    larger = case.draw.branch("larger").one(settings["larger_percent"])
    loads = {
        "lighter": 1 - lighter / 100,
        "larger": 1 / (1 + larger / 100),
    }
    best, second = sorted(loads, key=lambda word: loads[word])
    clear = settings["clear"][case.step]
    if loads[second] < loads[best] * clear:
        return None
    shown = _shown(case, lighter, larger)
    per_cm2 = case.draw.branch("density").one(settings["per_cm2"])
    who = case.somebody("client")
    carrier = settings["carrier"]
    told = {"grams": f"{grams:g}", "wide": wide, "deep": deep, "per_cm2": per_cm2}
    told["one"] = carrier.get(case.method.id, carrier["other"])
    hairs = wide * deep / settings["mm2_in_cm2"] * per_cm2
    before = load_per_hair_gf(grams, hairs) * settings["mg_in_g"]
    return Draft(
        stem=case.say("stems", **told, **who.words()),
        explanation=case.say(
            "why", before=f"{before:.1f}", after=f"{before * loads[best]:.1f}", text=shown[best]
        ),
        givens={
            "grams": grams,
            "section_mm": [wide, deep],
            "per_cm2": per_cm2,
            "changes": {text: _percents(word, lighter, larger) for word, text in shown.items()},
        },
        facts=("section.not_heavier", "traction.lessen"),
        critical=False,
        features={"steps": 2.0, "nearness": 1 / clear, "closeness": 1.0},
        offers=tuple(_offer(case, word, text, word == best) for word, text in shown.items()),
    )


def _percents(word: str, lighter: float, larger: float) -> dict[str, float]:
    """What a change leaves of the weight, and makes of the section, in per cent."""
    return {
        "grams_percent": 100 - lighter if word == "lighter" else 100,
        "section_percent": 100 + larger if word == "larger" else 100,
    }


def _shown(case: Case, lighter: float, larger: float) -> dict[str, str]:
    """The two changes that ease the load, and two that do not, in words."""
    easing = {
        "lighter": case.say("lighter", value=lighter),
        "larger": case.say("larger", value=larger),
    }
    settings, draw = case.recipe.settings, case.draw.branch("idle")
    idle = draw.some(settings["idle"], 2)
    return easing | {w: case.say(w, value=draw.one(settings["idle_percent"][w])) for w in idle}


def _offer(case: Case, word: str, text: str, right: bool) -> Offer:
    if right:
        return Offer(text, True, word)
    note = "less" if word in ("lighter", "larger") else f"why_{word}"
    return wrong(text, word, case.named_belief(word), case.say(note))
