"""Something has gone wrong at the chair -> what is done now. Keyed by the bank's cited troubles."""

from typing import Any

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.trouble import Mistake, Trouble
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def _troubles(bank: Bank, method: str, recipe: Recipe) -> tuple[Trouble, ...]:
    """Troubles of the recipe's kind that can happen with the method."""
    return bank.troubles_of(method, recipe.settings["kind"])


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether anything of the kind can happen with the method."""
    return len(_troubles(bank, method, recipe)) > 1


def work_out(case: Case) -> Sketch | None:
    """What is right, among what people who hold wrong beliefs would do."""
    trouble = case.draw.one(_troubles(case.bank, case.method.id, case.recipe))
    fit = [o for o in trouble.wrong if case.bank.covers(o.methods, case.method.id)]
    others = case.draw.branch("wrong").some(fit, min(2 + 1, len(fit)))
    who = case.somebody("client")
    seen = case.draw.branch("seen").one(trouble.seen)
    right = case.render(case.draw.branch("right").one(trouble.do), **who.words())
    words = who.words()
    offers = (Offer(right, True, trouble.id), *(_wrong(case, one, words) for one in others))
    return Sketch(offers, lambda: _draft(case, trouble, case.render(seen, **words), offers, words))


def _wrong(case: Case, act: Mistake, words: dict[str, Any]) -> Offer:
    belief = case.bank.misconceptions[act.belief]
    return wrong(case.render(act.text, **words), act.text, belief, act.note)


def _draft(
    case: Case, trouble: Trouble, seen: str, offers: tuple[Offer, ...], words: dict[str, Any]
) -> Draft:
    return Draft(
        stem=case.say("stems", seen=seen, **words),
        explanation=case.say("why", because=trouble.because),
        givens={
            "trouble": trouble.id,
            "method": case.method.id,
            "acts": [one.text for one in offers],
        },
        facts=tuple(fact for fact in trouble.facts if case.bank.facts[fact].may_key),
        critical=True,
        features={"cues": 1.0, "closeness": float(len(offers[1:]))},
        offers=offers,
    )
