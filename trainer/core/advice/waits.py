"""Calendar: from when, until when."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor

from trainer.core.advice.profile import Profile
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.quantity import DAYS_IN
from trainer.core.knowledge.rule import Rule, Wait


@dataclass(frozen=True, slots=True)
class Window:
    """First and last day, both included."""

    first: date
    last: date

    def __contains__(self, day: date) -> bool:
        return self.first <= day <= self.last


def days_of(fact: Fact, end: str = "high") -> float:
    """One end of a fact's range in days. Raises ValueError if it holds no length of time."""
    value = fact.low if end == "low" else fact.high
    if value is None or fact.unit not in DAYS_IN:
        raise ValueError(f"{fact.id} holds no length of time")
    return value * DAYS_IN[fact.unit]


def days_left(bank: Bank, wait: Wait, profile: Profile) -> int:
    """Whole days still to wait, 0 when the wait is over.

    An event that was never dated (a skin test not yet done) counts from today.
    """
    since = profile.get(wait.attribute)
    attribute = bank.attributes[wait.attribute]
    gone = float(since) if isinstance(since, int | float) else 0.0
    gone_days = gone * DAYS_IN.get(attribute.unit, 1.0)
    return max(0, ceil(days_of(bank.facts[wait.fact], wait.end) - gone_days))


def earliest(bank: Bank, rules: tuple[Rule, ...], profile: Profile, day: date) -> date | None:
    """The first day on which no wait among these rules is left; None if none of them waits."""
    waits = [days_left(bank, rule.wait, profile) for rule in rules if rule.wait]
    return day + timedelta(days=max(waits)) if waits else None


def window(fitted: date, fact: Fact) -> Window:
    """From when to when an attachment fitted on a day is moved up: day + low to day + high."""
    return Window(
        fitted + timedelta(days=ceil(days_of(fact, "low"))),
        fitted + timedelta(days=floor(days_of(fact, "high"))),
    )


def last_day(fitted: date, fact: Fact) -> date:
    """The last day that a limit on wear allows, at the cautious end of its range."""
    return fitted + timedelta(days=floor(days_of(fact, "low")))
