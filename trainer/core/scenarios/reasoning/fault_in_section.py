"""Four attachments of which one is at fault -> that one. Keyed by the placing facts."""

from trainer.core.figures.section import LETTERS, several
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.drawn import drawn_of, limits, measures, outside, section
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the attachment is drawn, sits off the scalp, and has at least two limits."""
    found = limits(bank, method, recipe)
    return drawn_of(bank, method) is not None and "scalp_distance" in found and len(found) > 1


def work_out(case: Case) -> Draft | None:
    """Every measure of every part within its fact's range but one, clearly outside."""
    shape, settings = drawn_of(case.bank, case.method.id), case.recipe.settings
    facts = limits(case.bank, case.method.id, case.recipe)
    parts = LETTERS[: settings["shown"]]
    bad, letter = case.draw.one(sorted(facts)), case.draw.branch("letter").one(parts)
    found = {
        part: measures(case, part, facts, bad if part == letter else "", settings["steps"])
        for part in parts
    }
    if shape is None or any(outside(facts, found[p]) != [bad] * (p == letter) for p in parts):
        return None
    figure = several([section(case, shape, part, found[part]) for part in parts])
    fact, value = facts[bad], found[letter][bad]
    belief = case.named_belief(bad)
    fine = case.say("fine")
    return Draft(
        stem=case.say("stems", **case.somebody("colleague").words()),
        explanation=case.say(f"why_{bad}", part=letter, value=f"{value:g}", fact=fact),
        givens={
            "measured": found,
            "limits": {role: one.id for role, one in facts.items()},
            "asked": "the part with a measure outside its fact's range",
        },
        facts=(fact.id,),
        critical=fact.critical and fact.may_key_critical,
        features={"closeness": 1.0, "nearness": 0.5 * case.step, "cues": 1.0},
        offers=tuple(
            Offer(one.label, True, one.id)
            if one.id == letter
            else wrong(one.label, one.id, belief, fine)
            for one in figure.regions
        ),
        figure=figure.as_json(),
    )
