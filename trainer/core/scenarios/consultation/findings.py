"""What each step of a consultation brings to light, as an eye or a client would say it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from trainer.core.advice.profile import Profile, defaults, holds
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.consultation_step import ConsultationStep
from trainer.core.knowledge.profile_sheet import Condition, Value
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.people import Person
from trainer.core.scenarios.story import ways_to_say
from trainer.core.scenarios.wording import render

FINDINGS = "en/findings"


@dataclass(frozen=True)
class Teller:
    """Says what is found of one client."""

    case: Case
    who: Person
    profile: Profile

    @property
    def bank(self) -> Bank:
        """The bank of the case."""
        return self.case.bank

    @cached_property
    def _around(self) -> dict[str, Any]:
        return self.case.around() | self.who.words()

    def finding(self, step: ConsultationStep) -> str:
        """What a step shows: every value that has words, then that the rest is well."""
        shown = [a for a in step.reveals if step.shows(a, self.profile.get(a))]
        told = [self.said(attribute, step.id) for attribute in shown]
        amiss = any(self.amiss(attribute) for attribute in shown)
        rest = step.besides if amiss and told else ""
        if step.calm and not amiss:
            rest = self.case.draw.branch(f"calm {step.id}").one(step.calm)
        return " ".join(part for part in (*told, self.words(rest)) if part)

    def said(self, attribute: str, step: str = "") -> str:
        """One attribute in words, the same each time; '' where nothing is said of its value."""
        value = self.profile.get(attribute)
        if value is None or not self.bears(attribute):
            return ""
        ways = ways_for(self.bank, attribute, value, step)
        if not ways:
            return ""
        text = self.case.draw.branch(f"said {attribute}").one(ways)
        return render(text, {**self._around, "value": value})

    def bears(self, attribute: str) -> bool:
        """Whether the attribute means anything for this client (consent, for one, of a minor)."""
        gate = _gates(self.bank).get(attribute)
        return gate is None or holds(self.bank, gate, self.profile)

    def amiss(self, attribute: str) -> bool:
        """Whether the value is more than an ordinary one."""
        value = self.profile.get(attribute)
        if value is None or not self.bears(attribute):
            return False
        return not is_calm(self.bank, attribute, value)

    def words(self, text: str, **more: Any) -> str:
        """A template with the client's words."""
        return render(text, {**self._around, **more}) if text else ""


def ways_for(bank: Bank, attribute: str, value: Value, step: str = "") -> Sequence[str]:
    """Templates for a value: the step's own, else those for findings, else those of stories."""
    words = bank.wording[FINDINGS]
    name = str(value).lower() if isinstance(value, bool) else value
    name = name if isinstance(name, str) else "number"
    own: Sequence[str] | None = words["by_step"].get(step, {}).get(attribute, {}).get(name)
    own = own or words["says"].get(attribute, {}).get(name)
    return own or ways_to_say(bank, attribute, value)


def _gates(bank: Bank) -> Mapping[str, Condition]:
    """Attribute -> on what it means anything, for those that do not always."""
    gates = bank.wording[FINDINGS]["only_if"]
    return bank.once(
        ("gates",), lambda: {name: condition_of(gate) for name, gate in gates.items()}
    )


def is_calm(bank: Bank, attribute: str, value: Value) -> bool:
    """Whether a value speaks against nothing by itself."""
    words: Mapping[str, Any] = bank.wording[FINDINGS]
    if attribute in words["neutral"] or value in words["harmless"].get(attribute, ()):
        return True
    return value == defaults(bank).get(attribute)


def condition_of(gate: Mapping[str, Any]) -> Condition:
    """A gate of the wording as a condition; its operator `is` under the name Python allows."""
    return Condition(**{("is_" if name == "is" else name): one for name, one in gate.items()})
