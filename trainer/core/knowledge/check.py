"""Whether the entries of a bank agree with each other. Each complaint names file, entry, field."""

import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from typing import Any

from trainer.core.knowledge.bank import ALL, BONDED, Bank
from trainer.core.knowledge.check_emergency import emergency_removals
from trainer.core.knowledge.check_schemes import schemes
from trainer.core.knowledge.complaint import Complaint
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.method import Vapour
from trainer.core.knowledge.order import ring_in
from trainer.core.knowledge.procedure import Procedure
from trainer.core.knowledge.quantity import UNITS
from trainer.core.knowledge.reach import allowed, unfit_condition, unreachable
from trainer.core.knowledge.rule import Rule
from trainer.core.knowledge.words import OBSERVED_SERVICES

NEEDS_SOURCE = {"published", "secondhand", "weak"}
VAPOUR = Vapour.__slots__
Found = Iterator[tuple[str, str, str]]
"""(entry 'kind id', field, what is wrong)."""


def complaints_about(bank: Bank, places: Mapping[str, str]) -> list[Complaint]:
    """Everything that does not fit together. `places` maps 'kind id' to its file."""
    checks = (
        facts,
        rules,
        procedures,
        misconceptions,
        criteria,
        differences,
        methods,
        schemes,
        profile,
        clashes,
        consultation_steps,
        troubles,
        home_care,
        emergency_removals,
        clients,
    )
    found = chain.from_iterable(check(bank) for check in checks)
    return [Complaint(places.get(entry, ""), entry, field, what) for entry, field, what in found]


def facts(bank: Bank) -> Found:
    """Scope, source, unit, range and figures of each fact."""
    for fact in bank.facts.values():
        entry = f"fact {fact.id}"
        yield from _scope(bank, entry, "method", (fact.method,))
        yield from _basis(bank, entry, fact.basis)
        yield from _quantity(entry, fact)
        yield from _figures(entry, fact)


def _basis(bank: Bank, entry: str, basis: Iterable) -> Found:  # type: ignore[type-arg]
    given = tuple(basis)
    if not given:
        yield entry, "basis", "is empty; say what it rests on"
    for one in given:
        if one.kind in NEEDS_SOURCE and not one.source:
            yield entry, "basis", f"{one.kind} needs a source"
        if one.source and one.source not in bank.sources:
            yield entry, "basis", f"names no known source: {one.source}"


def _quantity(entry: str, fact: Fact) -> Found:
    if fact.unit not in UNITS:
        yield entry, "unit", f"{fact.unit!r} is not a unit of the bank"
    if fact.low is not None and not fact.unit:
        yield entry, "unit", "is missing for a figure ('ratio' for a plain number)"
    if (fact.low is None) != (fact.high is None):
        yield entry, "low/high", "needs both ends (the same for a single value)"
    elif fact.low is not None and fact.high is not None and fact.low > fact.high:
        yield entry, "low", f"{fact.low} is above high {fact.high}"


def _figures(entry: str, fact: Fact) -> Found:
    marks = set(re.findall(r"\{(\w+)\}", fact.statement))
    if marks - {"low", "high", "unit"}:
        yield entry, "statement", f"has unknown places {sorted(marks - {'low', 'high', 'unit'})}"
    if marks and fact.low is None:
        yield entry, "statement", "has a place for a figure, but the fact has none"
    for figure in {fact.low, fact.high} - {None}:
        if re.search(rf"(?<![\w.]){re.escape(f'{figure:g}')}(?![\w.])", fact.statement):
            yield entry, "statement", f"repeats the figure {figure:g}; write {{low}} or {{high}}"


def _scope(bank: Bank, entry: str, field: str, scope: tuple[str, ...]) -> Found:
    for name in scope:
        if name not in bank.methods and name not in (ALL, BONDED):
            yield entry, field, f"names no known method: {name}"
    if not scope:
        yield entry, field, "is empty"


def _known(entry: str, field: str, names: Iterable[str], there: Mapping[str, object]) -> Found:
    for name in names:
        if name not in there:
            yield entry, field, f"names nothing known: {name}"


def rules(bank: Bank) -> Found:
    """Scope, facts and conditions of each rule, and whether any profile can meet it."""
    for rule in bank.rules.values():
        entry = f"rule {rule.id}"
        yield from _scope(bank, entry, "methods", rule.methods)
        yield from _known(entry, "facts", rule.facts, bank.facts)
        yield from _known(entry, "mirrors", rule.mirrors, bank.misconceptions)
        if not rule.facts:
            yield entry, "facts", "is empty; say which facts it rests on"
        if rule.verdict == "go_ahead":
            yield entry, "verdict", "go ahead is what holds when no rule speaks"
        yield from _wait(bank, entry, rule)
        yield from _weight(bank, entry, rule)
        yield from ((entry, "when", what) for what in unreachable(bank, rule))


def _wait(bank: Bank, entry: str, rule: Rule) -> Found:
    if rule.wait is None:
        return
    if rule.wait.attribute not in bank.attributes:
        yield entry, "wait.attribute", f"names no attribute: {rule.wait.attribute}"
    if rule.wait.fact not in bank.facts:
        yield entry, "wait.fact", f"names no fact: {rule.wait.fact}"


def _weight(bank: Bank, entry: str, rule: Rule) -> Found:
    known = [bank.facts[name] for name in rule.facts if name in bank.facts]
    if rule.critical and known and not any(fact.may_key_critical for fact in known):
        yield entry, "facts", "a critical rule rests on weak or unconfirmed facts alone"


def procedures(bank: Bank) -> Found:
    """Steps that exist, in an order without a ring; forbidden steps with their belief."""
    for procedure in bank.procedures.values():
        entry = f"procedure {procedure.id}"
        yield from _known(entry, "method", [procedure.method], bank.methods)
        yield from _steps(bank, entry, procedure)
        for forbidden in procedure.forbidden:
            field = f"forbidden {forbidden.id}"
            yield from _known(entry, f"{field}.facts", forbidden.facts, bank.facts)
            yield from _known(
                entry, f"{field}.misconception", [forbidden.misconception], bank.misconceptions
            )


def _steps(bank: Bank, entry: str, procedure: Procedure) -> Found:
    steps = {step.id: step.after for step in procedure.steps}
    names = [step.id for step in procedure.steps] + [step.id for step in procedure.forbidden]
    for name in sorted({name for name in names if names.count(name) > 1}):
        yield entry, "steps", f"{name} stands twice"
    for step in procedure.steps:
        yield from _known(entry, f"step {step.id}.after", step.after, steps)
        yield from _known(entry, f"step {step.id}.facts", step.facts, bank.facts)
    ring = ring_in({name: [a for a in after if a in steps] for name, after in steps.items()})
    if ring:
        yield entry, "steps", f"go round in a ring: {' > '.join(ring)}"


def misconceptions(bank: Bank) -> Found:
    """Scope and answer of each wrong belief."""
    for wrong in bank.misconceptions.values():
        entry = f"misconception {wrong.id}"
        yield from _scope(bank, entry, "methods", wrong.methods)
        yield from _known(entry, "answer", [wrong.answer], bank.facts)


def criteria(bank: Bank) -> Found:
    """Method and facts of each criterion."""
    for criterion in bank.criteria.values():
        entry = f"criterion {criterion.id}"
        yield from _known(entry, "method", [criterion.method], bank.methods)
        yield from _known(entry, "facts", criterion.facts, bank.facts)


def differences(bank: Bank) -> Found:
    """Both sides with what they rest on, and which one teaches."""
    for difference in bank.differences.values():
        entry = f"difference {difference.id}"
        yield from _scope(bank, entry, "methods", difference.methods)
        for number, position in enumerate(difference.positions, 1):
            yield from _known(entry, f"position {number}.facts", position.facts, bank.facts)
            yield from _basis(bank, f"difference {difference.id}", position.basis)


def methods(bank: Bank) -> Found:
    """Roles, products, procedures and criteria of each method."""
    for method in bank.methods.values():
        entry = f"method {method.id}"
        roles = {name: getattr(method.roles, name) for name in method.roles.__slots__}
        for role, fact in roles.items():
            yield from _known(entry, f"roles.{role}", [fact] if fact else [], bank.facts)
        for field in ("agents", "wrong_agents", "use", "avoid"):
            yield from _known(entry, field, getattr(method, field), bank.products)
        yield from _standards(bank, entry, method.standards)
        for service in OBSERVED_SERVICES:
            if bank.procedure(method.id, service) is None:
                yield entry, "services", f"has no procedure to {service}"
            if not bank.criteria_of(method.id, service):
                yield entry, "services", f"has no criteria to sign off: {service}"


def _standards(bank: Bank, entry: str, names: tuple[str, ...]) -> Found:
    yield from _known(entry, "standards", names, bank.sources)
    for source in (bank.sources[name] for name in names if name in bank.sources):
        if source.kind != "occupational standard" or not (source.locator and source.url):
            yield entry, "standards", f"{source.id} is no occupational standard with code and url"


def profile(bank: Bank) -> Found:
    """Ranges and defaults of the client profile, and the facts of products."""
    for attribute in bank.attributes.values():
        entry = f"attribute {attribute.id}"
        if attribute.kind == "choice" and not attribute.values:
            yield entry, "values", "is empty for a choice"
        if attribute.kind == "number" and None in (attribute.low, attribute.high):
            yield entry, "low/high", "a number needs its range"
        if attribute.unit not in UNITS:
            yield entry, "unit", f"{attribute.unit!r} is not a unit of the bank"
    for product in bank.products.values():
        yield from _known(f"product {product.id}", "facts", product.facts, bank.facts)
        if product.vapour:
            roles = [getattr(product.vapour, role) for role in VAPOUR if role != "cautions"]
            named = [*product.vapour.cautions, *filter(None, roles)]
            yield from _known(f"product {product.id}", "vapour", named, bank.facts)


def clashes(bank: Bank) -> Found:
    """Conditions of the combinations that no person can have."""
    for impossible in bank.impossible:
        for condition in impossible.when:
            for what in unfit_condition(bank, condition):
                yield f"impossible {impossible.id}", "when", what


def consultation_steps(bank: Bank) -> Found:
    """What each step of a consultation reveals and waits for."""
    for step in bank.consultation_steps.values():
        entry = f"consultation_step {step.id}"
        yield from _known(entry, "reveals", step.reveals, bank.attributes)
        if step.wait_fact:
            yield from _known(entry, "wait_fact", [step.wait_fact], bank.facts)
        if not step.reveals:
            yield entry, "reveals", "is empty; say what it shows"


def troubles(bank: Bank) -> Found:
    """Scope, facts that may be keyed and the beliefs behind what is done wrong, of each trouble."""
    for trouble in bank.troubles.values():
        entry = f"trouble {trouble.id}"
        yield from _scope(bank, entry, "methods", trouble.methods)
        yield from _rests_on(bank, entry, trouble.facts)
        known = [bank.facts[name] for name in trouble.facts if name in bank.facts]
        if known and not any(fact.may_key_critical for fact in known):
            yield entry, "facts", "are weak or unconfirmed alone, and what is done can injure"
        for field in ("seen", "do", "wrong"):
            if not getattr(trouble, field):
                yield entry, field, "is empty"
        for number, mistake in enumerate(trouble.wrong, 1):
            field = f"wrong {number}"
            yield from _scope(bank, entry, f"{field}.methods", mistake.methods)
            yield from _known(entry, f"{field}.belief", [mistake.belief], bank.misconceptions)


def home_care(bank: Bank) -> Found:
    """Scopes, facts that may be keyed and the belief of each line for care at home."""
    for line in bank.home_care.values():
        entry = f"care {line.id}"
        yield from _rests_on(bank, entry, line.facts)
        for field in ("holds_for", "wrong_for"):
            if getattr(line, field):
                yield from _scope(bank, entry, field, getattr(line, field))
        if not line.holds_for and not line.wrong_for:
            yield entry, "holds_for/wrong_for", "are both empty; say for whom it holds or not"
        for method in bank.methods:
            if bank.covers(line.holds_for, method) and bank.covers(line.wrong_for, method):
                yield entry, "wrong_for", f"takes in {method}, for which the line holds"
        if line.wrong_for or line.belief:
            yield from _known(entry, "belief", [line.belief], bank.misconceptions)


def _rests_on(bank: Bank, entry: str, names: tuple[str, ...]) -> Found:
    """Facts that are known, and that may be keyed."""
    if not names:
        yield entry, "facts", "is empty; say which facts it rests on"
    yield from _known(entry, "facts", names, bank.facts)
    for name in names:
        if name in bank.facts and not bank.facts[name].may_key:
            yield entry, "facts", f"rests on memory alone, so nobody may be marked on it: {name}"


def clients(bank: Bank) -> Found:
    """Values that consultations give their clients."""
    told = [("people.toml turn", "set", bank.people.get("turn", ()))]
    for name, model in bank.consultations.items():
        stories = model.get("settings", {}).get("story", ())
        told.append((f"consultations/{name}.toml", "settings.story", stories))
        if not stories:
            yield f"consultations/{name}.toml", "settings.story", "is empty; a client needs one"
    for entry, field, rows in told:
        for row in rows:
            for attribute, given in row["set"].items():
                yield from _unfit(bank, entry, f"{field}.{attribute}", attribute, given)


def _unfit(bank: Bank, entry: str, field: str, attribute: str, given: Any) -> Found:
    if attribute not in bank.attributes:
        yield entry, field, "names no attribute"
        return
    for value in given if isinstance(given, list) else [given]:
        if not allowed(bank.attributes[attribute], value):
            yield entry, field, f"cannot be {value!r}"
