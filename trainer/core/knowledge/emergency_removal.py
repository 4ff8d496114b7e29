"""Removal that cannot wait: when that is so, what comes before it, and who may do it."""

from datetime import date

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.fact import Basis
from trainer.core.knowledge.sheet import SHEET


@dataclass(frozen=True, slots=True, config=SHEET)
class EmergencyRemoval:
    """`signs`: what is seen when it holds. `first`: facts that come before any removal.

    `facts`: what the removal itself keeps to. `ended_days`: days after a record's end in which its
    holder may still remove, supervised. `who` and `after` say both in words; `basis` is what the
    rule of who may rests on.
    """

    id: str
    methods: tuple[str, ...]
    signs: tuple[str, ...]
    first: tuple[str, ...]
    facts: tuple[str, ...]
    ended_days: int
    who: str
    after: str
    reviewed: date
    basis: tuple[Basis, ...]
