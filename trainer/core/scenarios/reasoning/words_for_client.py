"""Something was seen -> the words for the client: what you see, no name for it, what comes next."""

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe
from trainer.core.scenarios.reasoning.offer_verdict import usable
from trainer.core.scenarios.story import CLIENTS
from trainer.core.scenarios.wording import lower_first, render

RIGHT = "right"
FEWEST = 1 + 2


def _signs(bank: Bank, method: str, recipe: Recipe) -> dict[str, Rule]:
    """Attribute -> the rule that refers for it, where the eye has words and a name exists."""
    seen = bank.wording[CLIENTS]["seen"]
    return {
        rule.when[0].attribute: rule
        for rule in usable(bank, method)
        if rule.verdict == "refer"
        and not rule.when[1:]
        and rule.when[0].attribute in seen
        and rule.when[0].attribute in recipe.settings["names"]
    }


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether there are signs that are seen and referred."""
    return len(_signs(bank, method, recipe)) >= FEWEST


def work_out(case: Case) -> Sketch | None:
    """The same finding said in four ways, one of which keeps to what a stylist may say."""
    signs = _signs(case.bank, case.method.id, case.recipe)
    attribute = case.draw.one(sorted(signs))
    rule = signs[attribute]
    texts = case.bank.wording[CLIENTS]["seen"][attribute]
    seen = lower_first(render(case.draw.branch("seen").one(texts), {}))
    name = case.draw.branch("name").one(case.recipe.settings["names"][attribute])
    told = {"seen": seen, "disease": name}
    slips = [act for act in case.recipe.settings["does"] if act != RIGHT]
    acts = case.draw.branch("acts").some(slips, 2 + 1)
    said = {act: case.say(act, **told) for act in (RIGHT, *acts)}
    who = case.somebody("client")
    offers = tuple(_offer(case, act, text) for act, text in said.items())
    return Sketch(
        offers,
        lambda: Draft(
            stem=case.say("stems", **told, **who.words()),
            explanation=case.say("why", statement=rule.statement),
            givens={
                "attribute": attribute,
                "method": case.method.id,
                "lines": {text: case.recipe.settings["does"][act] for act, text in said.items()},
            },
            facts=tuple(dict.fromkeys((*rule.facts, *case.recipe.settings["facts"]))),
            critical=rule.critical,
            features={"cues": 1.0, "causes": 1.0, "closeness": 1.0},
            offers=offers,
        ),
    )


def _offer(case: Case, act: str, text: str) -> Offer:
    if act == RIGHT:
        return Offer(text, True, act)
    return wrong(text, act, case.named_belief(act))
