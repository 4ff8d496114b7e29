"""Four attachments of which one is at fault -> that one. Keyed by the placing facts."""

from trainer.core.figures.section import LETTERS, several
from trainer.core.items.item import Draft
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.drawn import (
    drawn_of,
    limits,
    limits_named,
    pointed,
    section,
    with_one_fault,
)
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the attachment is drawn, sits off the scalp, and has at least two limits."""
    found = limits(bank, method, recipe)
    return drawn_of(bank, method) is not None and "scalp_distance" in found and len(found) > 1


def work_out(case: Case) -> Draft | None:
    """Every measure of every part within its fact's range but one, clearly outside."""
    shape = drawn_of(case.bank, case.method.id)
    facts = limits(case.bank, case.method.id, case.recipe)
    parts = LETTERS[: case.recipe.settings["shown"]]
    settled = with_one_fault(case, facts, parts)
    if shape is None or settled is None:
        return None
    bad, letter, found = settled
    figure = several([section(case, shape, part, found[part]) for part in parts])
    fact, value = facts[bad], found[letter][bad]
    return Draft(
        stem=case.say("stems", **case.somebody("colleague").words()),
        explanation=case.say(f"why_{bad}", part=letter, value=f"{value:g}", fact=fact),
        givens={
            "measured": found,
            "limits": limits_named(facts),
            "asked": "the part with a measure outside its fact's range",
        },
        facts=(fact.id,),
        critical=fact.critical and fact.may_key_critical,
        features={"closeness": 1.0, "nearness": 0.5 * case.step, "cues": 1.0},
        offers=pointed(
            figure, letter, case.named_belief(bad), dict.fromkeys(parts, case.say("fine"))
        ),
        figure=figure.as_json(),
    )
