"""A client on paper: what is known, checked against the bank's profile sheet."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Attribute, Condition, Value
from trainer.core.knowledge.reach import allowed, meets
from trainer.core.problems import InputProblem

SCHEMA_VERSION = 1


@dataclass(frozen=True, slots=True)
class Profile:
    """Attribute id -> value; an attribute that is absent has no value and no default."""

    values: Mapping[str, Value]

    def get(self, attribute: str) -> Value | None:
        """The value, or None where nothing is known."""
        return self.values.get(attribute)

    def changed(self, **values: Value) -> "Profile":
        """The same client with some values changed. Not checked again."""
        return Profile({**self.values, **values})


def read_profile(bank: Bank, raw: Mapping[str, Any]) -> Profile:
    """Check what was given and fill in what goes without saying.

    Raises InputProblem naming the field: unknown, of the wrong kind, out of range, or part of
    a combination that no person can have.
    """
    if not isinstance(raw, Mapping):
        raise InputProblem("is not an object", "profile", "Give attributes and their values.")
    for name, value in raw.items():
        if name not in bank.attributes:
            raise InputProblem("is not known", str(name), "See `trainer advise --schema`.")
        if value is not None and not allowed(bank.attributes[name], value):
            expected = _expected(bank.attributes[name])
            raise InputProblem(f"cannot be {value!r}", str(name), f"Give {expected}.")
    profile = Profile({**defaults(bank), **{k: v for k, v in raw.items() if v is not None}})
    for what, where in contradictions(bank, profile):
        raise InputProblem(what, where, "Correct one of these.")
    return profile


def defaults(bank: Bank) -> Mapping[str, Value]:
    """What is taken as read when nothing is said; a flag is then false."""
    return bank.once(("defaults",), lambda: _defaults(bank))


def _defaults(bank: Bank) -> dict[str, Value]:
    found: dict[str, Value] = {}
    for attribute in bank.attributes.values():
        if attribute.default is not None:
            found[attribute.id] = attribute.default
        elif attribute.kind == "flag":
            found[attribute.id] = False
    return dict(sorted(found.items()))


def holds(bank: Bank, condition: Condition, profile: Profile) -> bool:
    """Whether a condition holds for a client. What is not known meets no condition."""
    return meets(bank, condition, profile.values.get(condition.attribute))


def all_hold(bank: Bank, conditions: tuple[Condition, ...], profile: Profile) -> bool:
    """Whether every condition holds for a client."""
    values = profile.values
    for condition in conditions:
        value = values.get(condition.attribute)
        if value is None or not meets(bank, condition, value):
            return False
    return True


def contradictions(bank: Bank, profile: Profile) -> Iterator[tuple[str, str]]:
    """Combinations that no person can have: (why, the fields concerned)."""
    for impossible in bank.impossible:
        if all_hold(bank, impossible.when, profile):
            fields = " and ".join(dict.fromkeys(c.attribute for c in impossible.when))
            yield impossible.because, fields


def _expected(attribute: Attribute) -> str:
    if attribute.kind == "flag":
        return "true or false"
    if attribute.kind == "choice":
        return "one of " + ", ".join(attribute.values)
    whole = "a whole number" if attribute.whole else "a number"
    return f"{whole} from {attribute.low:g} to {attribute.high:g} {attribute.unit}".strip()


def profile_schema(bank: Bank) -> dict[str, Any]:
    """JSON Schema (2020-12) of a client profile; impossible combinations stand under `not`."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Client profile",
        "version": SCHEMA_VERSION,
        "type": "object",
        "additionalProperties": False,
        "properties": {a.id: _attribute_schema(a) for a in bank.attributes.values()},
        "impossible": [
            {"id": one.id, "because": one.because, "when": [as_words(bank, c) for c in one.when]}
            for one in bank.impossible
        ],
    }


def as_words(bank: Bank, condition: Condition) -> dict[str, Any]:
    """A condition as plain JSON, with every bound resolved to its number."""
    words: dict[str, Any] = {"attribute": condition.attribute}
    for name in ("is_", "is_not", "at_least", "at_most", "above", "below"):
        value = getattr(condition, name)
        if value is None:
            continue
        operator = name.rstrip("_")
        bound = isinstance(value, str) and operator not in ("is", "is_not")
        words[operator] = bank.bound(value) if bound else value
        if bound:
            words["bound"] = value
    if condition.one_of:
        words["one_of"] = list(condition.one_of)
    return words


def _attribute_schema(attribute: Attribute) -> dict[str, Any]:
    schema: dict[str, Any] = {"description": attribute.label, "group": attribute.group}
    schema["found_by"] = attribute.found_by
    if attribute.kind == "flag":
        schema |= {"type": "boolean", "default": bool(attribute.default)}
    elif attribute.kind == "choice":
        schema |= {"enum": list(attribute.values)}
    else:
        schema |= {"type": "integer" if attribute.whole else "number", "unit": attribute.unit}
        schema |= {"minimum": attribute.low, "maximum": attribute.high}
    if attribute.default is not None:
        schema["default"] = attribute.default
    return schema
