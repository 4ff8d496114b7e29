"""A colleague's plan -> the one line to strike out. Keyed by the procedure's forbidden steps."""

from trainer.core.items.item import Draft, Offer, Sketch
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.procedure import Forbidden, Procedure, Step
from trainer.core.scenarios.case import Case, wrong
from trainer.core.scenarios.family import Recipe


def _never(bank: Bank, method: str, service: str) -> list[Forbidden]:
    """Forbidden steps that may be keyed."""
    return bank.once(("never", method, service), lambda: _never_of(bank, method, service))


def _never_of(bank: Bank, method: str, service: str) -> list[Forbidden]:
    procedure = bank.procedure(method, service)
    found = procedure.forbidden if procedure else ()
    return [one for one in found if any(bank.facts[fact].may_key_critical for fact in one.facts)]


def applies(bank: Bank, method: str, recipe: Recipe) -> bool:
    """Whether the procedure has something that is never done."""
    procedure = bank.procedure(method, recipe.service)
    return bool(_never(bank, method, recipe.service)) and procedure is not None


def work_out(case: Case) -> Sketch | None:
    """Hide one forbidden step among sound ones, in a working order."""
    procedure = case.bank.procedure(case.method.id, case.recipe.service)
    if procedure is None:
        return None
    bad = case.draw.one(_never(case.bank, case.method.id, case.recipe.service))
    count = case.draw.branch("count").between(*case.recipe.settings["sound_steps"][case.step])
    sound = _beside(procedure, bad)
    steps = case.draw.branch("steps").some(sound, min(count, len(sound)))
    belief = case.named_belief("sound")
    offers = (Offer(bad.text, True, bad.id), *(wrong(s.text, s.id, belief) for s in steps))
    return Sketch(offers, lambda: _draft(case, procedure, bad, steps))


def _beside(procedure: Procedure, bad: Forbidden) -> list[Step]:
    """Steps that rest on other facts: nobody's plan holds a line and its own opposite."""
    return [step for step in procedure.steps if not set(step.facts) & set(bad.facts)]


def _draft(case: Case, procedure: Procedure, bad: Forbidden, steps: list[Step]) -> Draft:
    who = case.somebody("colleague")
    client = case.somebody("client", other_than=who.name)
    return Draft(
        stem=case.say("stems", client=client.name, title=procedure.title, **who.words()),
        explanation=case.say("why", because=bad.because),
        givens={
            "procedure": procedure.id,
            "lines": {step.text: step.id for step in steps} | {bad.text: bad.id},
            "asked": "the line that is never done",
        },
        facts=tuple(fact for fact in bad.facts if case.bank.facts[fact].may_key),
        critical=bad.critical,
        features={"closeness": float(len(steps)), "steps": float(len(steps) + 1)},
        offers=(
            Offer(bad.text, True, bad.id),
            *(_sound(case, step) for step in steps),
        ),
    )


def _sound(case: Case, step: Step) -> Offer:
    return wrong(step.text, step.id, case.named_belief("sound"), case.say("sound", why=step.why))
