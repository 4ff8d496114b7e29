"""Entries of the bank as plain rows: the shapes that the commands promise."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from pydantic import TypeAdapter

from trainer.core.advice.profile import as_words
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.home_care import Care
from trainer.core.knowledge.misconception import Misconception
from trainer.core.knowledge.order import binding_pairs
from trainer.core.knowledge.procedure import Procedure
from trainer.core.knowledge.quantity import said
from trainer.core.knowledge.rule import Rule
from trainer.core.knowledge.trouble import Trouble
from trainer.core.problems import InputProblem


def fact_row(fact: Fact) -> dict[str, Any]:
    """A fact in the contract's shape, its statement with the figures in place."""
    return {
        "id": fact.id,
        "method": fact.method,
        "service": fact.service,
        "topic": fact.topic,
        "statement": said(fact),
        "low": fact.low,
        "high": fact.high,
        "unit": fact.unit,
        "critical": fact.critical,
        "basis": [{"kind": b.kind, "source": b.source, "locator": b.locator} for b in fact.basis],
        "reviewed": date.isoformat(fact.reviewed),
    }


def rule_row(bank: Bank, rule: Rule) -> dict[str, Any]:
    """A rule with its methods spelled out and every bound as a number.

    `silent_when`: for a method that may come off between visits, when the rule does not count.
    """
    row: dict[str, Any] = TypeAdapter(Rule).dump_python(rule, mode="json")
    row["methods"] = [method for method in bank.methods if bank.covers(rule.methods, method)]
    row["silent_when"] = {
        method: [as_words(bank, condition) for condition in bank.methods[method].loose_when]
        for method in row["methods"]
        if not bank.covers(rule.methods, method, comes_off=True) and bank.methods[method].loose_when
    }
    row["when"] = [as_words(bank, condition) for condition in rule.when]
    row["unless"] = [as_words(bank, condition) for condition in rule.unless]
    if rule.wait is not None:
        fact = bank.facts[rule.wait.fact]
        row["wait"] |= {"value": getattr(fact, rule.wait.end), "unit": fact.unit}
    return row


def procedure_row(bank: Bank, procedure: Procedure) -> dict[str, Any]:
    """A procedure with every pair of steps that binds.

    A removal also with what may take the method off (`agents`) and what must not.
    """
    row: dict[str, Any] = TypeAdapter(Procedure).dump_python(procedure, mode="json")
    pairs = binding_pairs({step.id: step.after for step in procedure.steps})
    row["pairs"] = sorted([before, after] for before, after in pairs)
    if procedure.service == "remove":
        method = bank.methods[procedure.method]
        row["agents"] = _products(bank, method.agents)
        row["wrong_agents"] = _products(bank, method.wrong_agents)
    return row


def _products(bank: Bank, ids: Sequence[str]) -> list[dict[str, str]]:
    products = (bank.products[one] for one in ids)
    return [{"id": one.id, "name": one.name, "use": one.use} for one in products]


def trouble_row(bank: Bank, trouble: Trouble) -> dict[str, Any]:
    """What to do when something goes wrong, its methods spelled out; `service` is '': at any.

    In `seen`, `do` and `wrong` {{ they }} and the like stand for the client's words.
    """
    row: dict[str, Any] = {"kind": "trouble", "id": trouble.id, "service": ""}
    row |= TypeAdapter(Trouble).dump_python(trouble, mode="json")
    row |= {"kind": "trouble", "of": trouble.kind, "methods": _covered(bank, trouble.methods)}
    for told, mistake in zip(row["wrong"], trouble.wrong, strict=True):
        told["methods"] = _covered(bank, mistake.methods)
    return row


def care_row(bank: Bank, line: Care) -> dict[str, Any]:
    """A line on care at home, with the methods for which it holds, and for which it is wrong."""
    row: dict[str, Any] = {"kind": "home_care", "id": line.id, "service": "aftercare"}
    row |= TypeAdapter(Care).dump_python(line, mode="json")
    return row | {
        "holds_for": _covered(bank, line.holds_for),
        "wrong_for": _covered(bank, line.wrong_for),
    }


def _covered(bank: Bank, scope: tuple[str, ...]) -> list[str]:
    return [method for method in bank.methods if bank.covers(scope, method)]


def misconception_row(bank: Bank, wrong: Misconception) -> dict[str, Any]:
    """A misconception with its methods spelled out."""
    row: dict[str, Any] = TypeAdapter(Misconception).dump_python(wrong, mode="json")
    row["methods"] = [method for method in bank.methods if bank.covers(wrong.methods, method)]
    return row


def known_method(bank: Bank, method: str | None) -> None:
    """Raises InputProblem for a method that the bank does not have."""
    if method is not None and method not in bank.methods:
        known = ", ".join(bank.methods)
        raise InputProblem(f"{method!r} is no method", "--method", f"Use one of {known}.")
