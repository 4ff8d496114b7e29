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
    shown = _shown(case, bears, case.bank.facts[GONE].low or 0)
    if min(shown.values()) < settings["least_c"]:
        return None
    who = case.somebody("client")
    told = {"label": f"{bears:g}", "kind": kind}
    texts = {word: f"{degrees:g} °C" for word, degrees in shown.items()}
    if any(one in other for one in texts.values() for other in texts.values() if one != other):
        return None  # '85 °C' reads as a part of '185 °C'
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
        features={"steps": 1.0, "nearness": settings["clear_c"][case.step] / bears},
        offers=tuple(_offer(case, word, text) for word, text in texts.items()),
    )


def _shown(case: Case, bears: float, gone: float) -> dict[str, float]:
    """The right setting [°C], and three others: any number of them colder, the rest too hot."""
    settings, draw = case.recipe.settings, case.draw.branch("settings")
    step, spread, clear = settings["step_c"], settings["spread_steps"], settings["clear_c"]
    colder = draw.between(0, 2 + 1)
    shown = {"right": bears - clear[case.step] - step * draw.between(0, spread - colder)}
    at = shown["right"]
    for number in range(colder):
        at -= step * draw.between(1, max(1, spread - colder))
        shown[f"colder {number}"] = at
    at = bears + clear[case.step] - step
    for number in range(2 + 1 - colder):
        at += step * draw.between(1, spread)
        shown[f"hotter {number}" if at < gone else f"hottest {number}"] = at
    return shown


def _offer(case: Case, word: str, text: str) -> Offer:
    if word == "right":
        return Offer(text, True, text)
    slip = word.split()[0]
    return wrong(text, text, case.named_belief(slip), case.say(slip))
