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
from trainer.core.scenarios.story import phrases
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
        told, amiss, values = [], False, self.profile.values
        for sign in _signs(self.bank, step):
            value = values.get(sign.attribute)
            if value in sign.hidden or not self._bears(sign, value):
                continue
            told.append(self._said(sign, value))
            amiss = amiss or not sign.is_calm(value)
        rest = step.besides if amiss else ""
        if step.calm and not amiss:
            rest = self.case.draw.branch(f"calm {step.id}").one(step.calm)
        return " ".join(part for part in (*told, self.words(rest)) if part)

    def said(self, attribute: str, step: str = "") -> str:
        """One attribute in words, the same each time; '' where nothing is said of its value."""
        sign, value = _sign(self.bank, attribute, step), self.profile.get(attribute)
        return self._said(sign, value) if self._bears(sign, value) else ""

    def amiss(self, attribute: str) -> bool:
        """Whether the value is more than an ordinary one."""
        return self._amiss(_sign(self.bank, attribute))

    def all_calm(self, step: ConsultationStep) -> bool:
        """Whether a step would show nothing but ordinary values."""
        return not any(map(self._amiss, _signs(self.bank, step)))

    def _amiss(self, sign: "Sign") -> bool:
        value = self.profile.get(sign.attribute)
        return self._bears(sign, value) and not sign.is_calm(value)

    def _bears(self, sign: "Sign", value: Value | None) -> bool:
        """Whether the value means anything for this client (consent, for one, of a minor)."""
        if value is None:
            return False
        return sign.gate is None or holds(self.bank, sign.gate, self.profile)

    def _said(self, sign: "Sign", value: Value | None) -> str:
        ways = sign.ways.get(name_of(value), ())
        if not ways:
            return ""
        text = self.case.draw.branch(f"said {sign.attribute}").one(ways)
        return render(text, {**self._around, "value": value})

    def words(self, text: str, **more: Any) -> str:
        """A template with the client's words."""
        return render(text, {**self._around, **more} if more else self._around) if text else ""


@dataclass(frozen=True, slots=True)
class Sign:
    """How one attribute is told of, in one step or any.

    `ways`: name of a value -> templates. `gate`: on what it means anything, where it does not
    always. `calm`: the values that speak against nothing by themselves; None where none does.
    `hidden`: values that the step cannot show.
    """

    attribute: str
    ways: Mapping[str, Sequence[str]]
    gate: Condition | None
    calm: frozenset[Value | None] | None
    hidden: tuple[str, ...]

    def is_calm(self, value: Value | None) -> bool:
        """Whether a value speaks against nothing by itself."""
        return self.calm is None or value in self.calm


def name_of(value: Value | None) -> str:
    """The name under which the wording holds a value: 'number' for every number."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else "number"


def ways_for(bank: Bank, attribute: str, value: Value, step: str = "") -> Sequence[str]:
    """Templates for a value: the step's own, else those for findings, else those of stories."""
    return _sign(bank, attribute, step).ways.get(name_of(value), ())


def is_calm(bank: Bank, attribute: str, value: Value) -> bool:
    """Whether a value speaks against nothing by itself."""
    return _sign(bank, attribute).is_calm(value)


def _signs(bank: Bank, step: ConsultationStep) -> tuple[Sign, ...]:
    return bank.once(
        ("signs of", step.id), lambda: tuple(_sign(bank, name, step.id) for name in step.reveals)
    )


def _sign(bank: Bank, attribute: str, step: str = "") -> Sign:
    return bank.once(("sign", attribute, step), lambda: _sign_of(bank, attribute, step))


def _sign_of(bank: Bank, attribute: str, step: str) -> Sign:
    words = bank.wording[FINDINGS]
    own = words["by_step"].get(step, {}).get(attribute, {})
    kinds = (phrases(bank).get(attribute, {}), words["says"].get(attribute, {}), own)
    gate = words["only_if"].get(attribute)
    calm = (*words["harmless"].get(attribute, ()), defaults(bank).get(attribute))
    shown_by = bank.consultation_steps.get(step)
    return Sign(
        attribute,
        {name: ways for kind in kinds for name, ways in kind.items() if ways},
        condition_of(gate) if gate else None,
        None if attribute in words["neutral"] else frozenset(calm),
        shown_by.hides.get(attribute, ()) if shown_by else (),
    )


def condition_of(gate: Mapping[str, Any]) -> Condition:
    """A gate of the wording as a condition; its operator `is` under the name Python allows."""
    return Condition(**{("is_" if name == "is" else name): one for name, one in gate.items()})
