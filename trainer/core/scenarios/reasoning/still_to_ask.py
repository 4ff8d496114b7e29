"""What a card already says, and a method -> the question that is still to be asked before it."""

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.reasoning.offer_verdict import usable


def _asked(bank: Bank, method: str, recipe: Recipe) -> dict[str, Rule]:
    """Attribute -> the gravest rule of the method that rests on it, where it can be asked about."""
    return bank.once(("asked about", method, recipe.id), lambda: _asked_of(bank, method, recipe))


def _asked_of(bank: Bank, method: str, recipe: Recipe) -> dict[str, Rule]:
    words = recipe.words
    found: dict[str, Rule] = {}
    for rule in usable(bank, method):
        for condition in rule.when:
            if f"ask_{condition.attribute}" in words and rule.critical:
                found.setdefault(condition.attribute, rule)
    return found


def _idle(bank: Bank, method: str, recipe: Recipe) -> list[str]:
    """Attributes that can be asked about and on which no rule of the method rests."""
    return bank.once(("idle", method, recipe.id), lambda: _idle_of(bank, method, recipe))


def _idle_of(bank: Bank, method: str, recipe: Recipe) -> list[str]:
    mine = {c.attribute for rule in bank.rules_of(method) for c in rule.when}
    mine |= set(recipe.settings["never_idle"])
    every = [word.removeprefix("ask_") for word in recipe.words if word.startswith("ask_")]
    return [attribute for attribute in every if attribute not in mine]


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether there are questions enough that matter, and some that do not."""
    return len(_asked(bank, method, recipe)) > 2 + 1 and bool(_idle(bank, method, recipe))


def work_out(case: Case) -> Sketch | None:
    """One question that a rule rests on is open; others were answered or rest on no rule."""
    asked = _asked(case.bank, case.method.id, case.recipe)
    idle = _idle(case.bank, case.method.id, case.recipe)
    known_count = case.recipe.settings["known"][case.step]
    draw = case.draw.branch("asked")
    drawn = draw.some(sorted(asked), min(known_count + 1, len(asked)))
    right, known = drawn[0], drawn[1:]
    away = case.draw.branch("away").some(idle, min(2, len(idle)))
    if not known or not away:
        return None
    again = known[: 2 + 1 - len(away)]
    rule, who = asked[right], case.somebody("client")
    noted = [*known, *_besides(case, [*asked, *away])]
    offers = [Offer(_question(case, right), True, right)]
    offers += [
        wrong(_question(case, a), a, case.named_belief("known"), case.say("known")) for a in again
    ]
    offers += [
        wrong(_question(case, a), a, case.named_belief("idle"), case.say("idle")) for a in away
    ]
    card = [case.say(f"card_{attribute}") for attribute in case.draw.shuffled(noted)]
    return Sketch(
        tuple(offers),
        lambda: Draft(
            stem=case.say("stems", card=card, **who.words()),
            explanation=case.say("why", statement=rule.statement),
            givens={
                "method": case.method.id,
                "on_the_card": noted,
                "questions": {_question(case, a): a for a in (right, *again, *away)},
            },
            facts=rule.facts,
            critical=rule.critical,
            features={"cues": float(len(noted)), "causes": 1.0, "closeness": 1.0},
            offers=tuple(offers),
        ),
    )


def _besides(case: Case, taken: list[str]) -> list[str]:
    """What else was asked, and settles nothing here."""
    draw = case.draw.branch("besides")
    words = (word.removeprefix("card_") for word in case.recipe.words if word.startswith("card_"))
    free = [attribute for attribute in words if attribute not in taken]
    return draw.some(free, min(len(free), draw.one(case.recipe.settings["besides"])))


def _question(case: Case, attribute: str) -> str:
    return case.say(f"ask_{attribute}")
