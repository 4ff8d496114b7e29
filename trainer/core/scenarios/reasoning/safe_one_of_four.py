"""Four attachments, each but one with a fault of its own -> the sound one."""

from trainer.core.figures.section import LETTERS, several
from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.drawn import drawn_of, limits, measures, outside, section
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
    faults = dict(zip(parts, case.draw.some(sorted(facts), len(parts) - 1) + [""], strict=True))
    order = case.draw.branch("order").shuffled(parts)
    faults = {part: faults[other] for part, other in zip(parts, order, strict=True)}
    found = {p: measures(case, p, facts, faults[p], settings["steps"]) for p in parts}
    sound = next(part for part in parts if not faults[part])
    if shape is None or any(outside(facts, found[p]) != [faults[p]] * (p != sound) for p in parts):
        return None
    figure = several([section(case, shape, part, found[part]) for part in parts])
    offers, reasons = [], []
    for part in parts:
        text = case.say("option", part=part)
        if part == sound:
            offers.append(Offer(text, True, part))
            continue
        bad = faults[part]
        told = case.say(f"why_{bad}", part=part, value=f"{found[part][bad]:g}", fact=facts[bad])
        offers.append(wrong(text, part, case.named_belief(bad), told))
        reasons.append(told)
    used = tuple(facts[role].id for role in faults.values() if role)
    return Draft(
        stem=case.say("stems", **case.somebody("colleague").words()),
        explanation=case.say("why", part=sound, reasons=reasons),
        givens={
            "measured": found,
            "limits": {role: one.id for role, one in facts.items()},
            "asked": "the part with every measure inside its fact's range",
        },
        facts=used,
        critical=any(case.bank.facts[name].may_key_critical for name in used),
        features={"closeness": 1.0, "nearness": 0.5 * case.step, "causes": float(len(used))},
        offers=tuple(offers),
        figure=figure.as_json(),
        in_order=True,
    )
