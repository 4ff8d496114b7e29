"""A head with short rows of which one is at fault -> that one: margin or way it is led."""

from trainer.core.figures.head import VIEWS
from trainer.core.figures.headmap import LETTERS, head_map
from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.drawn import (
    drawn_of,
    limits,
    limits_named,
    pointed,
    row,
    with_one_fault,
)
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the attachment is drawn and its margin and its fall are known."""
    return drawn_of(bank, method) is not None and len(limits(bank, method, recipe)) > 1


def work_out(case: Case) -> Draft | None:
    """Every row inside both ranges but one, which is clearly outside one of them."""
    shape = drawn_of(case.bank, case.method.id)
    facts = limits(case.bank, case.method.id, case.recipe)
    view = case.draw.branch("view").one(sorted(VIEWS))
    parts = LETTERS[: len(VIEWS[view].spots)]
    settled = with_one_fault(case, facts, parts)
    if shape is None or settled is None:
        return None
    bad, letter, found = settled
    spots = case.draw.branch("spots").shuffled(range(len(parts)))
    mm_in = case.recipe.settings["mm_in"][facts["edge_margin"].unit]
    rows = [row(case, spot, p, found[p], mm_in) for spot, p in zip(spots, parts, strict=True)]
    figure = head_map(view, shape.kind, case.method.attachments, rows)
    fact, fine = facts[bad], dict.fromkeys(parts, case.say("fine"))
    where = VIEWS[view].spots[spots[parts.index(letter)]].name
    value = found[letter][bad] * (mm_in if bad == "edge_margin" else 1)
    why = case.say(f"why_{bad}", part=letter, value=f"{value:g}", fact=fact, where=where)
    return Draft(
        stem=case.say("stems", **case.somebody("colleague").words()),
        explanation=why,
        givens={
            "view": view,
            "measured": found,
            "limits": limits_named(facts),
            "asked": "the part with a measure outside its fact's range",
        },
        facts=(fact.id,),
        critical=fact.critical and fact.may_key_critical,
        features={"closeness": 1.0, "nearness": 0.5 * case.step, "cues": 1.0},
        offers=pointed(figure, letter, case.named_belief(bad), fine),
        figure=figure.as_json(),
    )
