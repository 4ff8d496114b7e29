"""What holds the hair -> what takes it off. Keyed by the method's agents."""

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method has something that takes it off, and things that must not."""
    found = bank.methods[method]
    facts = [fact for agent in found.agents for fact in bank.products[agent].facts]
    return len(found.wrong_agents) > 1 and any(bank.facts[fact].may_key for fact in facts)


def work_out(case: Case) -> Sketch | None:
    """One right agent among wrong ones."""
    products = case.bank.products
    right = products[case.draw.one(case.method.agents)]
    others = case.draw.branch("others").shuffled(case.method.wrong_agents)[: 2 + 1]
    facts = tuple(fact for fact in right.facts if case.bank.facts[fact].may_key)
    if not facts:
        return None
    who = case.somebody("client")
    offers = (
        Offer(right.name, True, right.id),
        *(
            wrong(products[o].name, o, case.named_belief(o), _note(case, products[o].use))
            for o in others
        ),
    )
    return Sketch(
        offers,
        lambda: Draft(
            stem=case.say("stems", **who.words()),
            explanation=case.say("why", use=right.use, name=right.name),
            givens={"method": case.method.id, "offered": [right.id, *others]},
            facts=facts,
            critical=True,
            features={"closeness": float(len(others))},
            offers=offers,
        ),
    )


def _note(case: Case, use: str) -> str:
    return case.say("wrong_note", use=use)
