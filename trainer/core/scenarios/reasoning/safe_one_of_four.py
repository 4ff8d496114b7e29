"""Four attachments, each but one with a fault of its own -> the sound one."""

from trainer.core.figures.section import LETTERS, several
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.drawn import drawn_of, limits, limits_named, measures, outside, section
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the attachment is drawn and there are limits enough for a fault each."""
    found = limits(bank, method, recipe)
    enough = len(found) >= recipe.settings["shown"] - 1
    return drawn_of(bank, method) is not None and "scalp_distance" in found and enough


def work_out(case: Case) -> Draft | None:
    """One part within every range; each other part outside one range, no two the same."""
    shape, settings = drawn_of(case.bank, case.method.id), case.recipe.settings
    facts = limits(case.bank, case.method.id, case.recipe)
    parts = LETTERS[: settings["shown"]]
    bad_ones = [*case.draw.some(sorted(facts), len(parts) - 1), ""]
    faults = dict(zip(parts, case.draw.branch("order").shuffled(bad_ones), strict=True))
    found = {p: measures(case, p, facts, faults[p], settings["steps"]) for p in parts}
    sound = next(part for part in parts if not faults[part])
    if shape is None or any(outside(facts, found[p]) != [faults[p]] * (p != sound) for p in parts):
        return None
    figure = several([section(case, shape, part, found[part]) for part in parts])
    told = {
        part: case.say(f"why_{bad}", part=part, value=f"{found[part][bad]:g}", fact=facts[bad])
        for part, bad in faults.items()
        if bad
    }
    used = tuple(facts[role].id for role in faults.values() if role)
    return Draft(
        stem=case.say("stems", **case.somebody("colleague").words()),
        explanation=case.say("why", part=sound, reasons=list(told.values())),
        givens={
            "measured": found,
            "limits": limits_named(facts),
            "asked": "the part with every measure inside its fact's range",
        },
        facts=used,
        critical=any(case.bank.facts[name].may_key_critical for name in used),
        features={"closeness": 1.0, "nearness": 0.5 * case.step, "causes": float(len(used))},
        offers=tuple(_offer(case, part, faults[part], told.get(part, "")) for part in parts),
        figure=figure.as_json(),
        in_order=True,
    )


def _offer(case: Case, part: str, bad: str, told: str) -> Offer:
    text = case.say("option", part=part)
    return wrong(text, part, case.named_belief(bad), told) if bad else Offer(text, True, part)
