"""Invented people: plausible, and never a combination that no person can have."""

from collections.abc import Mapping, Sequence
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
    nature = bank.once(("nature",), lambda: _nature(bank))
    values = dict(defaults(bank))
    for name, one in nature.varied:
        values[name] = (
            draw.weighted(one.values, one.weights) if one.weights else draw.one(one.values)
        )
    values["density_per_cm2"] = draw.one(nature.densities[str(values["density"])].values)
    return Profile(values)


@dataclass(frozen=True, slots=True)
class Varied:
    """The values that a thing has among people; as likely as their weights, or all alike."""

    values: Sequence[Value]
    weights: Sequence[float] = ()


@dataclass(frozen=True, slots=True)
class Nature:
    """Attribute -> how it varies by nature; and for each density, hairs per cm²."""

    varied: Sequence[tuple[str, Varied]]
    densities: Mapping[str, Varied]


def _nature(bank: Bank) -> Nature:
    varied, densities = bank.people["nature"], bank.people["density"]
    return Nature(
        [(name, _varied(table)) for name, table in varied.items() if name in bank.attributes],
        {name: _varied(table) for name, table in densities.items()},
    )


def _varied(table: Mapping[str, Any]) -> Varied:
    """Values and weights as they stand, or numbers from low to high in whole steps."""
    if "values" in table:
        return Varied(table["values"], table["weights"])
    steps = int((table["high"] - table["low"]) / table["step"])
    figures = [table["low"] + table["step"] * n for n in range(steps + 1)]
    return Varied([int(one) if float(one).is_integer() else float(one) for one in figures])


def meeting(
    bank: Bank, draw: Draw, base: Profile, conditions: tuple[Condition, ...]
) -> Profile | None:
    """The client changed so that every condition holds, or None if that makes nobody."""
    changed: dict[str, Value] = {}
    for name in dict.fromkeys(condition.attribute for condition in conditions):
        together = [condition for condition in conditions if condition.attribute == name]
        fit = _fitting(bank, bank.attributes[name], tuple(together))
        if not fit:
            return None
        changed[name] = draw.one(fit)
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


def _fitting(bank: Bank, attribute: Attribute, together: tuple[Condition, ...]) -> Sequence[Value]:
    """The values from which one is drawn so that all these conditions on an attribute hold."""
    return bank.once(
        ("fitting", together),
        lambda: [
            value
            for value in _values(bank, attribute, together)
            if allowed(attribute, value) and all(meets(bank, one, value) for one in together)
        ],
    )


def _values(bank: Bank, attribute: Attribute, together: Sequence[Condition]) -> list[Value]:
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
