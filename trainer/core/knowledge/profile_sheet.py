"""The questions that a client profile answers, as content: rules are checked against it."""

from typing import Literal

from pydantic.dataclasses import dataclass

from trainer.core.knowledge.sheet import SHEET

Value = bool | int | float | str


@dataclass(frozen=True, slots=True, config=SHEET)
class Attribute:
    """One thing known about a client.

    kind 'flag': true or false; 'choice': one of `values`; 'number': low..high in `unit`
    (whole numbers if `whole`). A number without `default` may be absent: it then never
    happened (days since) or was not asked, and no condition on it holds.
    `found_by` says how a stylist comes to know: told, ask, look, touch, test.
    """

    id: str
    kind: Literal["flag", "choice", "number"]
    group: Literal["hair", "scalp", "health", "habits", "history", "wishes"]
    label: str
    found_by: Literal["told", "ask", "look", "touch", "test"]
    values: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    unit: str = ""
    whole: bool = False
    default: Value | None = None


@dataclass(frozen=True, slots=True, config=SHEET)
class Condition:
    """One test of one attribute; exactly one of the operators is given.

    `at_least` and `at_most` include their end; `above` and `below` do not. A bound is a
    number, or the end of a fact's range as 'fact.id/low' or 'fact.id/high'.
    """

    attribute: str
    is_: Value | None = None
    is_not: Value | None = None
    one_of: tuple[str, ...] = ()
    at_least: float | str | None = None
    at_most: float | str | None = None
    above: float | str | None = None
    below: float | str | None = None


@dataclass(frozen=True, slots=True, config=SHEET)
class Impossible:
    """A combination that no person can have: when all conditions hold, the profile is refused."""

    id: str
    when: tuple[Condition, ...]
    because: str
