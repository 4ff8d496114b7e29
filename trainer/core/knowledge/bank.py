"""All that is known, by id, with a version settled by the content."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

from trainer.core.knowledge.consultation_step import ConsultationStep
from trainer.core.knowledge.criterion import Criterion
from trainer.core.knowledge.difference import Difference
from trainer.core.knowledge.emergency_removal import EmergencyRemoval
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.home_care import Care
from trainer.core.knowledge.method import Method, Product
from trainer.core.knowledge.misconception import Misconception
from trainer.core.knowledge.procedure import Procedure
from trainer.core.knowledge.profile_sheet import Attribute, Impossible
from trainer.core.knowledge.rule import Rule
from trainer.core.knowledge.source import Source
from trainer.core.knowledge.trouble import Trouble

ALL = "all"
BONDED = "bonded"
T = TypeVar("T")


@dataclass(frozen=True)
class Bank:
    """The whole content, immutable. `version` is a short hash of every file.

    `wording`, `item_models`, `consultations`, `blueprints` and `people` hold the files' tables
    as read: the rooms that use them give them their shape.
    """

    version: str
    sources: Mapping[str, Source]
    attributes: Mapping[str, Attribute]
    impossible: tuple[Impossible, ...]
    methods: Mapping[str, Method]
    facts: Mapping[str, Fact]
    rules: Mapping[str, Rule]
    procedures: Mapping[str, Procedure]
    misconceptions: Mapping[str, Misconception]
    criteria: Mapping[str, Criterion]
    differences: Mapping[str, Difference]
    products: Mapping[str, Product]
    consultation_steps: Mapping[str, ConsultationStep]
    troubles: Mapping[str, Trouble]
    home_care: Mapping[str, Care]
    emergency_removals: Mapping[str, EmergencyRemoval]
    wording: Mapping[str, Mapping[str, Any]]
    item_models: Mapping[str, Mapping[str, Any]]
    consultations: Mapping[str, Mapping[str, Any]]
    blueprints: Mapping[str, Mapping[str, Any]]
    people: Mapping[str, Any]

    def covers(self, scope: tuple[str, ...], method: str, comes_off: bool = False) -> bool:
        """Whether a scope ('all', 'bonded' or method ids) takes in a method.

        `comes_off`: for this client it comes off between visits, so 'bonded' does not mean it.
        """
        bonded = self.methods[method].bonded and not comes_off
        return ALL in scope or method in scope or (BONDED in scope and bonded)

    def chapter_of(self, scope: tuple[str, ...], method: str = "") -> str:
        """In whose chapter something of that scope is read: the method named if it holds for it.

        Else the first method that it holds for; '' if there is none.
        """
        asked = [method] if method in self.methods else []
        return next((one for one in (*asked, *self.methods) if self.covers(scope, one)), "")

    def facts_of(self, method: str) -> tuple[Fact, ...]:
        """The method's own facts, those of all bonded methods if it is one, and those of all."""
        return tuple(fact for fact in self.facts.values() if self.covers((fact.method,), method))

    def rules_of(self, method: str, comes_off: bool = False) -> tuple[Rule, ...]:
        """Every rule that speaks of the method. `comes_off`: see `covers`."""
        return self.once(
            ("rules", method, comes_off),
            lambda: tuple(
                rule for rule in self.rules.values() if self.covers(rule.methods, method, comes_off)
            ),
        )

    def misconceptions_of(self, method: str, topic: str | None = None) -> tuple[Misconception, ...]:
        """Wrong beliefs about the method, on one topic or all."""
        return self.once(
            ("misconceptions", method, topic),
            lambda: tuple(
                wrong
                for wrong in self.misconceptions.values()
                if self.covers(wrong.methods, method) and topic in (None, wrong.topic)
            ),
        )

    def procedure(self, method: str, service: str) -> Procedure | None:
        """How the service is done, or None if the method has none."""
        for procedure in self.procedures.values():
            if (procedure.method, procedure.service) == (method, service):
                return procedure
        return None

    def troubles_of(self, method: str, kind: str | None = None) -> tuple[Trouble, ...]:
        """What can go wrong with the method, of one kind or any."""
        return self.once(
            ("troubles", method, kind),
            lambda: tuple(
                one
                for one in self.troubles.values()
                if self.covers(one.methods, method) and kind in (None, one.kind)
            ),
        )

    def care_of(self, method: str, holds: bool) -> tuple[Care, ...]:
        """Lines on care at home that hold for the method, or those that are wrong for it."""
        return self.once(
            ("care", method, holds),
            lambda: tuple(
                line
                for line in self.home_care.values()
                if self.covers(line.holds_for if holds else line.wrong_for, method)
            ),
        )

    def emergency_removal_of(self, method: str) -> EmergencyRemoval | None:
        """Who may take the method out when it cannot wait, or None where nothing is said."""
        rules = self.emergency_removals.values()
        return next((one for one in rules if self.covers(one.methods, method)), None)

    def criteria_of(self, method: str, service: str) -> tuple[Criterion, ...]:
        """What is watched when the service is signed off."""
        return tuple(
            criterion
            for criterion in self.criteria.values()
            if (criterion.method, criterion.service) == (method, service)
        )

    def role(self, method: str, role: str) -> Fact | None:
        """The fact that plays a part for the method (see `Roles`), or None."""
        return self.facts.get(getattr(self.methods[method].roles, role))

    def bound(self, bound: float | str) -> float:
        """A number as it stands, or the end of a fact's range: 'fact.id/low', 'fact.id/high'.

        Raises KeyError if there is no such fact, ValueError if the fact has no such figure.
        """
        if not isinstance(bound, str):
            return bound
        name, _, end = bound.partition("/")
        fact = self.facts[name]
        figure = fact.low if end == "low" else fact.high if end == "high" else None
        if figure is None:
            raise ValueError(f"{bound!r} names no figure")
        return figure

    def once(self, what: tuple[object, ...], work: Callable[[], T]) -> T:
        """What `work` gives, worked out once for this bank and kept under `what`.

        For what is asked with every question that is made; `what` must name all it depends on.
        """
        kept = self._kept.get(what)
        if kept is None:
            kept = self._kept[what] = work()
        found: T = kept
        return found

    @cached_property
    def _kept(self) -> dict[tuple[object, ...], Any]:
        return {}

    def differing(self, method: str) -> Iterator[Difference]:
        """The questions about the method on which sources differ."""
        return (d for d in self.differences.values() if self.covers(d.methods, method))
