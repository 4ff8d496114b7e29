"""One cited statement."""

from datetime import date

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET
from trainer.core.knowledge.words import BasisKind, Service, Topic


@dataclass(frozen=True, slots=True, config=SHEET)
class Basis:
    """What a statement rests on. `source` is the id of a work; '' for practice and memory."""

    kind: BasisKind
    source: str = ""
    locator: str = ""


@dataclass(frozen=True, slots=True, config=SHEET)
class Fact:
    """One statement; `low` and `high` are in `unit`, both ends included.

    `method` is a method's id, 'bonded' (all that stay on between visits) or 'all'.
    `statement` may hold {low}, {high} and {unit}; it never repeats the figures.
    `label` is the source table's own label, where there is one.
    """

    id: str
    method: str
    service: Service
    topic: Topic
    statement: str
    critical: bool
    reviewed: date
    basis: tuple[Basis, ...]
    low: float | None = None
    high: float | None = None
    unit: str = ""
    label: str = ""

    @property
    def may_key(self) -> bool:
        """Nobody is marked on what rests, even in part, on memory alone."""
        return all(basis.kind != "unconfirmed" for basis in self.basis)

    @property
    def may_key_critical(self) -> bool:
        """Weak sources alone never key an item that counts as safety-critical."""
        return self.may_key and any(basis.kind != "weak" for basis in self.basis)
