"""A procedure -> a working order. Keyed by its partial order; forbidden steps are left out."""

from trainer.core.items.item import Draft, Offer
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.order import binding_pairs
from trainer.core.knowledge.procedure import Forbidden, Procedure, Step
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.family import Recipe


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the method has this procedure, with enough steps that bind."""
    procedure = bank.procedure(method, recipe.service)
    return procedure is not None and len(procedure.steps) > 2 * 2


def work_out(case: Case) -> Draft | None:
    """Offer some of the steps, harder with a forbidden one; enough of the pairs must bind."""
    procedure = case.bank.procedure(case.method.id, case.recipe.service)
    if procedure is None:
        return None
    count = case.draw.branch("count").between(*case.recipe.settings["steps"][case.step])
    order = {step.id: number for number, step in enumerate(procedure.steps)}
    steps = case.draw.branch("steps").some(procedure.steps, min(count, len(procedure.steps)))
    shown = {step.id for step in steps}
    bound = binding_pairs({step.id: step.after for step in procedure.steps})
    pairs = tuple(sorted(pair for pair in bound if shown >= set(pair)))
    if len(pairs) < count - 1:
        return None
    out = _forbidden(case, procedure)
    in_order = sorted(steps, key=lambda step: order[step.id])
    return Draft(
        stem=case.say("stems", title=procedure.title, leave_out=bool(out), **_who(case)),
        explanation=_why(case, in_order, out),
        givens={
            "procedure": procedure.id,
            "steps": {step.text: step.id for step in steps} | {one.text: one.id for one in out},
        },
        facts=_facts(case, in_order, out),
        critical=any(step.critical for step in steps) or any(one.critical for one in out),
        features={"steps": float(len(steps)), "pairs": float(len(pairs)), "out": float(len(out))},
        offers=tuple([_sound(case, step) for step in steps] + [_never(one) for one in out]),
        pairs=pairs,
    )


def _forbidden(case: Case, procedure: Procedure) -> list[Forbidden]:
    wanted = case.step > 0 and case.draw.branch("out").chance(0.5 * case.step)
    keyed = [one for one in procedure.forbidden if _may_key(case, one.facts, one.critical)]
    return [case.draw.branch("which").one(keyed)] if wanted and keyed else []


def _may_key(case: Case, facts: tuple[str, ...], critical: bool) -> bool:
    known = [case.bank.facts[fact] for fact in facts]
    if critical:
        return any(fact.may_key_critical for fact in known)
    return all(fact.may_key for fact in known)


def _sound(case: Case, step: Step) -> Offer:
    return Offer(step.text, True, step.id, case.named_belief("order").id, step.why)


def _never(one: Forbidden) -> Offer:
    return Offer(one.text, False, one.id, one.misconception, one.because)


def _who(case: Case) -> dict[str, object]:
    return case.somebody("client").words()


def _why(case: Case, steps: list[Step], out: list[Forbidden]) -> str:
    told = [step for step in steps if step.critical][:2] or steps[:1]
    reasons = [{"step": step.text, "why": step.why} for step in told]
    never = [{"step": one.text, "why": one.because} for one in out]
    return case.say("why", reasons=reasons, never=never)


def _facts(case: Case, steps: list[Step], out: list[Forbidden]) -> tuple[str, ...]:
    named = [fact for step in steps for fact in step.facts]
    named += [fact for one in out for fact in one.facts]
    keyed = [fact for fact in dict.fromkeys(named) if case.bank.facts[fact].may_key]
    if keyed:
        return tuple(keyed)
    topical = (f for f in case.bank.facts_of(case.method.id) if f.topic == case.recipe.topic)
    return tuple(fact.id for fact in topical if fact.may_key)[:1]
