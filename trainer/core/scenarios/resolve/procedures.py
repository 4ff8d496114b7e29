"""Keys that procedures and products give."""

from collections.abc import Mapping
from itertools import product

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.scenarios.resolve.tools import Way


def _order(bank: Bank, item: Item) -> list[str]:
    """Pairs that hold in every order that the procedure allows: found by walking `after`."""
    procedure = bank.procedures[item.givens["procedure"]]
    after = {step.id: set(step.after) for step in procedure.steps}
    for _ in after:
        after = {s: e.union(*(after[one] for one in e)) if e else e for s, e in after.items()}
    named = {step: text for text, step in item.givens["steps"].items()}
    return [
        f"{named[first]} > {named[then]}"
        for first, then in product(named, named)
        if first in after.get(then, set())
    ]


def _struck(bank: Bank, item: Item) -> list[str]:
    procedure = bank.procedures[item.givens["procedure"]]
    never = {one.id for one in procedure.forbidden}
    return [text for text, line in item.givens["lines"].items() if line in never]


def _agent(bank: Bank, item: Item) -> list[str]:
    agents = bank.methods[item.givens["method"]].agents
    return [bank.products[one].name for one in item.givens["offered"] if one in agents]


WAYS: Mapping[str, Way] = {
    "steps_in_order": _order,
    "strike_out": _struck,
    "remover_for_bond": _agent,
}
