"""Hair or fibre, a label, settings of a tool -> the hottest that does no lasting harm."""

from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe

DEEP, GONE = "heat.permanent_change", "heat.structure_gone"


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the change that heat makes may be keyed."""
    return bank.facts[DEEP].may_key


def work_out(case: Case) -> Draft | None:
    """Human hair: below the change that stays. Fibre: below what its label bears."""
    settings = case.recipe.settings
    deep = case.bank.facts[DEEP].low or 0
    kind = case.draw.one(settings["kinds"])
    bears = case.draw.branch("label").one(settings["label_c"]) if kind == "fibre" else deep
    step, clear = settings["step_c"], settings["clear_c"][case.step]
    draw = case.draw.branch("settings")
    below = bears - clear - step * draw.between(0, 2)
    shown = {
        "right": below,
        "colder": below - step * draw.between(2, 2 + 2),
        "hotter": bears + clear + step * draw.between(0, 2),
        "hottest": max(bears + clear + step * 2 * 2, case.bank.facts[GONE].low or 0),
    }
    if len(set(shown.values())) < len(shown) or shown["colder"] <= 0:
        return None
    who = case.somebody("client")
    told = {"label": f"{bears:g}", "kind": kind}
    texts = {word: f"{degrees:g} °C" for word, degrees in shown.items()}
    return Draft(
        stem=case.say(f"stems_{kind}", **told, **who.words()),
        explanation=case.say(
            f"why_{kind}", text=texts["right"], deep=case.bank.facts[DEEP], **told
        ),
        givens={
            "made_of": kind,
            "label_c": bears if kind == "fibre" else None,
            "settings_c": {text: shown[word] for word, text in texts.items()},
        },
        facts=(DEEP, GONE),
        critical=False,
        features={"steps": 1.0, "nearness": clear / bears},
        offers=tuple(_offer(case, word, text) for word, text in texts.items()),
    )


def _offer(case: Case, word: str, text: str) -> Offer:
    if word == "right":
        return Offer(text, True, text)
    return wrong(text, text, case.named_belief(word), case.say(word))
