"""A placing plan with one fault -> the line to change. Keyed by the placing facts."""

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Fact
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def _placed(bank: Bank, method: str, recipe: Recipe) -> dict[str, Fact]:
    """Role -> fact, for the roles of the recipe that the method has and that may be keyed."""
    facts = {role: bank.role(method, role) for role in recipe.settings["roles"]}
    return {r: f for r, f in facts.items() if f and f.may_key and f.low is not None}


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether there are at least two placing figures."""
    return len(_placed(bank, method, recipe)) > 1


def work_out(case: Case) -> Sketch | None:
    """Every line sound but one, which lies clearly outside its fact's range."""
    facts = _placed(case.bank, case.method.id, case.recipe)
    at_fault = case.draw.one(sorted(facts))
    lines: dict[str, str] = {}
    values: dict[str, float] = {}
    for role, fact in facts.items():
        values[role] = _value(case, role, fact, role == at_fault)
        lines[role] = case.say(role, value=f"{values[role]:g}", unit=fact.unit)
    extra = list(case.recipe.settings["sound_lines"])
    for word in case.draw.branch("extra").some(extra, max(1, 2 + 2 - len(lines))):
        lines[word] = case.say(word)
    who = case.somebody("colleague")
    client = case.somebody("client", other_than=who.name)
    fact = facts[at_fault]
    offers = tuple(_offer(case, role, text, at_fault) for role, text in lines.items())
    return Sketch(
        offers,
        lambda: Draft(
            stem=case.say("stems", client=client.name, **who.words()),
            explanation=case.say(f"why_{at_fault}", fact=fact, value=f"{values[at_fault]:g}"),
            givens={
                "values": {role: {"value": values[role], "fact": facts[role].id} for role in facts},
                "lines": {text: role for role, text in lines.items()},
                "asked": "the line outside its fact's range",
            },
            facts=(fact.id,),
            critical=fact.critical and fact.may_key_critical,
            features={"closeness": float(len(lines)), "nearness": 1.0 + case.step},
            offers=offers,
        ),
    )


def _value(case: Case, role: str, fact: Fact, fault: bool) -> float:
    """Inside the range, or (the fault) clearly on the harmful side of it."""
    low, high = fact.low or 0.0, fact.high or 0.0
    draw = case.draw.branch(f"value {role}")
    if not fault:
        return float(round(low + (high - low) * draw.one(case.recipe.settings["sound_shares"]), 1))
    side = case.recipe.settings["harmful_side"][role]
    shares = case.recipe.settings[f"{side}_shares"][case.step]
    end = low if side == "below" else high
    value: float = round(end * draw.one(shares), 1)
    return value


def _offer(case: Case, role: str, text: str, at_fault: str) -> Offer:
    if role == at_fault:
        return Offer(text, True, role)
    belief = role if role in case.recipe.settings["roles"] else "sound"
    return wrong(text, role, case.named_belief(belief), case.say("sound"))
