"""The one door: a client and a day to a verdict, reasons and plan per method."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from trainer.core.advice.plan import Plan, as_json, plan
from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import Reason, reason, verdict_of
from trainer.core.advice.waits import earliest
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.words import Verdict

PLANNED = ("go_ahead", "adapt", "wait")
"""Nothing is planned where the answer is to refer or decline."""


@dataclass(frozen=True, slots=True)
class Advice:
    """`earliest`: the first day without a wait, None if nothing waits."""

    verdict: Verdict
    reasons: tuple[Reason, ...]
    earliest: date | None
    plan: Plan | None


def advise(
    bank: Bank, profile: Profile, day: date, methods: Iterable[str] | None = None
) -> dict[str, Advice]:
    """Advice per method (all unless named), for a client seen on `day`."""
    return {name: _one(bank, profile, day, name) for name in methods or bank.methods}


def _one(bank: Bank, profile: Profile, day: date, method: str) -> Advice:
    verdict, rules = verdict_of(bank, method, profile)
    start = earliest(bank, rules, profile, day)
    made = plan(bank, method, profile, start or day) if verdict in PLANNED else None
    return Advice(verdict, tuple(reason(rule) for rule in rules), start, made)


def advice_json(advice: dict[str, Advice]) -> dict[str, Any]:
    """The contract's shape: {methods: {M: {verdict, reasons, earliest_date, plan}}}."""
    return {"methods": {name: _one_json(one) for name, one in advice.items()}}


def _one_json(one: Advice) -> dict[str, Any]:
    return {
        "verdict": one.verdict,
        "reasons": [
            {"rule": r.rule, "verdict": r.verdict, "statement": r.statement, "facts": list(r.facts)}
            for r in one.reasons
        ],
        "earliest_date": one.earliest.isoformat() if one.earliest else None,
        "plan": as_json(one.plan) if one.plan else None,
    }
