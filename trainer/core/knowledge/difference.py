"""Where sources disagree: both sides, and which one teaches."""

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.fact import Basis
from trainer.core.knowledge.sheet import SHEET


@dataclass(frozen=True, slots=True, config=SHEET)
class Position:
    """One side. `facts` are the facts that hold it."""

    statement: str
    basis: tuple[Basis, ...]
    facts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, config=SHEET)
class Difference:
    """A question on which sources differ. Nothing is keyed between `low` and `high` (in `unit`)."""

    id: str
    methods: tuple[str, ...]
    question: str
    positions: tuple[Position, ...]
    teaches: str
    critical: bool
    low: float | None = None
    high: float | None = None
    unit: str = ""
