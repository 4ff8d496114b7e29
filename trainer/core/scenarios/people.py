"""Invented people: plausible, and never a combination that no person can have."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from trainer.core.advice.profile import Profile, contradictions, defaults
from trainer.core.draw import Draw
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Attribute, Condition, Value
from trainer.core.knowledge.reach import allowed, meets


@dataclass(frozen=True)
class Person:
    """A name with its pronouns: she/her/her, he/him/his, they/them/their."""

    name: str
    they: str
    them: str
    their: str

    @property
    def plural(self) -> bool:
        """Whether verbs follow as for several."""
        return self.they == "they"

    def verb(self, one: str, many: str) -> str:
        """'has' or 'have' after the pronoun."""
        return many if self.plural else one

    def words(self) -> dict[str, Any]:
        """For templates: name, they, them, their, has, is, was, does. Not to be changed."""
        return self._words

    @cached_property
    def _words(self) -> dict[str, Any]:
        return {
            "name": self.name,
            "they": self.they,
            "them": self.them,
            "their": self.their,
            "has": self.verb("has", "have"),
            "is": self.verb("is", "are"),
            "was": self.verb("was", "were"),
            "s": self.verb("s", ""),
        }


def person(bank: Bank, draw: Draw, other_than: str = "", profile: Profile | None = None) -> Person:
    """Somebody with a name from people.toml, to whom what a profile holds can have happened."""
    only = () if profile is None else bank.people["only"]
    bound = tuple(one for one in only if profile is not None and profile.get(one) is not None)
    return draw.one(bank.once(("people", other_than, bound), lambda: _but(bank, other_than, bound)))


def _but(bank: Bank, other_than: str, bound: tuple[str, ...]) -> list[Person]:
    """Everybody but the one named and those whom an attribute of the profile rules out."""
    fit = [set(bank.people["only"][attribute]) for attribute in bound]
    return [
        one
        for one in bank.once(("people",), lambda: _everybody(bank))
        if one.name != other_than and all(one.they in pronouns for pronouns in fit)
    ]


def _everybody(bank: Bank) -> list[Person]:
    pronouns = bank.people["pronouns"]
    return [Person(name, *pronouns[which]) for name, which in bank.people["names"]]


def plain_profile(bank: Bank, draw: Draw) -> Profile:
    """A healthy client: natural variety, nothing that any rule minds by itself.

    Ranges and weights stand in people.toml.
    """
    values = dict(defaults(bank))
    for name, table in bank.once(("nature",), lambda: _nature(bank)):
        values[name] = _drawn(table, draw)
    kind = bank.people["density"][str(values["density"])]
    values["density_per_cm2"] = _stepped(kind, draw)
    return Profile(values)


def _nature(bank: Bank) -> list[tuple[str, Mapping[str, Any]]]:
    """How each attribute that varies by nature is drawn."""
    return [row for row in bank.people["nature"].items() if row[0] in bank.attributes]


def _drawn(table: Mapping[str, Any], draw: Draw) -> Value:
    if "values" in table:
        value: Value = draw.weighted(table["values"], table["weights"])
        return value
    return _stepped(table, draw)


def _stepped(table: Mapping[str, Any], draw: Draw) -> float:
    """A number from low to high in whole steps."""
    steps = int((table["high"] - table["low"]) / table["step"])
    value = table["low"] + table["step"] * draw.between(0, steps)
    return int(value) if float(value).is_integer() else float(value)


def meeting(
    bank: Bank, draw: Draw, base: Profile, conditions: tuple[Condition, ...]
) -> Profile | None:
    """The client changed so that every condition holds, or None if that makes nobody."""
    changed: dict[str, Value] = {}
    for name in dict.fromkeys(condition.attribute for condition in conditions):
        together = [condition for condition in conditions if condition.attribute == name]
        value = _value_for(bank, draw, bank.attributes[name], together)
        if value is None:
            return None
        changed[name] = value
    made = _completed(bank, draw, base.changed(**changed))
    return None if any(contradictions(bank, made)) else made


def _completed(bank: Bank, draw: Draw, profile: Profile) -> Profile:
    """What a change brings with it, as people.toml tells: pain with the last set needs a set."""
    for row in bank.people["brings"]:
        if profile.get(row["when"]) not in (None, False) and profile.get(row["attribute"]) in (
            None,
            row.get("instead_of"),
        ):
            profile = profile.changed(**{row["attribute"]: draw.one(row["values"])})
    return _capped(bank, profile)


def _capped(bank: Bank, profile: Profile) -> Profile:
    """No more of one thing than so much for each of another: length since the hair came back."""
    for row in bank.people["caps"]:
        each, held = profile.get(row["when"]), profile.get(row["attribute"])
        if each is not None and held is not None:
            most = max(
                bank.attributes[row["attribute"]].low or 0, float(each) * row["at_most_each"]
            )
            profile = profile.changed(**{row["attribute"]: min(held, round(most))})
    return profile


def _value_for(
    bank: Bank, draw: Draw, attribute: Attribute, together: list[Condition]
) -> Value | None:
    candidates = [
        value for value in _values(bank, attribute, together) if allowed(attribute, value)
    ]
    fit = [v for v in candidates if all(meets(bank, condition, v) for condition in together)]
    return draw.one(fit) if fit else None


def _values(bank: Bank, attribute: Attribute, together: list[Condition]) -> list[Value]:
    if attribute.kind == "flag":
        return [True, False]
    if attribute.kind == "choice":
        return list(attribute.values)
    grid = bank.people["grids"].get(attribute.id)
    if grid:
        return list(grid)
    ends = [end for c in together for end in _bounds(bank, c)]
    return [end + step for end in ends for step in (-2, -1, 0, 1, 2)]


def _bounds(bank: Bank, condition: Condition) -> list[float]:
    given = (condition.at_least, condition.at_most, condition.above, condition.below)
    return [bank.bound(bound) for bound in given if bound is not None]
