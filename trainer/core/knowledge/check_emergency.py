"""Whether removal that cannot wait has one rule for every method, and what it rests on."""

from collections.abc import Iterator

from trainer.core.knowledge.bank import ALL, BONDED, Bank
from trainer.core.knowledge.emergency_removal import EmergencyRemoval

Found = Iterator[tuple[str, str, str]]


def emergency_removals(bank: Bank) -> Found:
    """(entry, field, what is wrong) for each rule, and for methods with more than one."""
    for rule in bank.emergency_removals.values():
        for field, what in (*_words(bank, rule), *_facts(bank, rule)):
            yield f"emergency_removal {rule.id}", field, what
    for method in bank.methods:
        rules = [r for r in bank.emergency_removals.values() if bank.covers(r.methods, method)]
        for rule in rules[1:]:
            yield f"emergency_removal {rule.id}", "methods", f"{method} has another rule already"


def _words(bank: Bank, rule: EmergencyRemoval) -> Iterator[tuple[str, str]]:
    for name in rule.methods:
        if name not in (*bank.methods, ALL, BONDED):
            yield "methods", f"names no known method: {name}"
    for field in ("signs", "first", "basis"):
        if not getattr(rule, field):
            yield field, "is empty"
    if rule.ended_days < 0:
        yield "ended_days", "cannot be below 0"


def _facts(bank: Bank, rule: EmergencyRemoval) -> Iterator[tuple[str, str]]:
    for field in ("first", "facts"):
        for name in getattr(rule, field):
            if name not in bank.facts:
                yield field, f"names nothing known: {name}"
            elif not bank.facts[name].may_key:
                yield field, f"rests on memory alone: {name}"
