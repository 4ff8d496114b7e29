"""Lines for a home-care sheet -> those that hold for this method."""

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.home_care import Care
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether there are enough lines of both kinds."""
    return all(bank.care_of(method, right)[2:] for right in (True, False))


def work_out(case: Case) -> Sketch | None:
    """Some lines that hold and some that do not, in any order."""
    shown = case.recipe.settings["shown"][case.step]
    good, bad = (case.bank.care_of(case.method.id, right) for right in (True, False))
    count = case.draw.between(2, min(len(good), shown - 2))
    picked = case.draw.branch("good").some(good, count)
    others = case.draw.branch("bad").some(bad, min(len(bad), shown - count))
    who = case.somebody("client")
    facts = dict.fromkeys(fact for line in (*picked, *others) for fact in line.facts)
    offers = (*(_right(case, line) for line in picked), *(_wrong(case, line) for line in others))
    return Sketch(
        offers,
        lambda: Draft(
            stem=case.say("stems", **who.words()),
            explanation=case.say("why", reasons=[line.because for line in others]),
            givens={"method": case.method.id, "lines": [line.text for line in (*picked, *others)]},
            facts=tuple(facts),
            critical=False,
            features={"cues": float(shown), "causes": float(count)},
            offers=offers,
        ),
    )


def _right(case: Case, line: Care) -> Offer:
    return Offer(line.text, True, line.text, case.named_belief("left_out").id, line.because)


def _wrong(case: Case, line: Care) -> Offer:
    return wrong(line.text, line.text, case.bank.misconceptions[line.belief], line.because)
