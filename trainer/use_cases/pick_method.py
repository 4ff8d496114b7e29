"""Which method a page of figures opens on: the one asked for, else the one most practised here."""

from collections import Counter

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.method import Method
from trainer.store import competencies, people
from trainer.store.competencies import WHOLE
from trainer.store.unit import Unit
from trainer.use_cases.roles import REVIEWERS


def pick_method(unit: Unit, bank: Bank, asked: str) -> tuple[list[Method], str]:
    """Every method in order, and the id of one of them. Raises Forbidden."""
    unit.viewer.must_be(*REVIEWERS)
    methods = sorted(bank.methods.values(), key=lambda one: (one.order, one.id))
    if asked in bank.methods:
        return methods, asked
    here = [row.id for row, _ in people.members(unit, "apprentice")]
    answers: Counter[str] = Counter()
    for row in competencies.of_people(unit, here):
        if row.topic == WHOLE:
            answers[row.method] += row.n
    return methods, max(methods, key=lambda one: answers[one.id]).id
