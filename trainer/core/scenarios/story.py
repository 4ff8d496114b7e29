"""What is seen and heard of a client, in words that do not name the label."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from trainer.core.advice.profile import Profile
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.rule import Rule
from trainer.core.scenarios.case import Case
from trainer.core.scenarios.people import Person
from trainer.core.scenarios.wording import render

CLIENTS = "en/clients"
Phrases = Mapping[str, Any]


def phrases(bank: Bank) -> Phrases:
    """The table of phrases: attribute -> value (or 'number') -> ways to say it."""
    table: Phrases = bank.wording[CLIENTS]["says"]
    return table


def can_say(bank: Bank, rule: Rule) -> bool:
    """Whether every condition of a rule can be told in words."""
    told = phrases(bank)
    return all(condition.attribute in told for condition in rule.when)


def ways_to_say(bank: Bank, attribute: str, value: object) -> Sequence[str]:
    """Templates for one attribute and value; empty where there are none."""
    table: Mapping[str, Sequence[str]] = phrases(bank).get(attribute, {})
    if isinstance(value, bool):
        return table.get("true" if value else "false", ())
    if isinstance(value, str):
        return table.get(value, ())
    return table.get("number", ())


def cue(case: Case, who: Person, profile: Profile, attribute: str) -> str | None:
    """One sentence that shows an attribute, or None where nothing is said of this value."""
    value = profile.get(attribute)
    if value is None:
        return None
    ways = ways_to_say(case.bank, attribute, value)
    if not ways:
        return None
    text = case.draw.branch(f"cue {attribute}").one(ways)
    return render(text, case.around() | who.words() | {"value": value})


def told_of(case: Case, profile: Profile, attributes: Iterable[str]) -> list[str]:
    """The attributes, each once, whose value `cues` can say."""
    return [
        name
        for name in dict.fromkeys(attributes)
        if (value := profile.get(name)) is not None and ways_to_say(case.bank, name, value)
    ]


def cues(case: Case, who: Person, profile: Profile, attributes: Iterable[str]) -> list[str]:
    """Sentences for several attributes, each once, those without words left out."""
    said = (cue(case, who, profile, attribute) for attribute in dict.fromkeys(attributes))
    return [one for one in said if one]


def idle_details(case: Case, who: Person, profile: Profile, n: int) -> list[str]:
    """Harmless details of a life, which bear on nothing; some only for those of age."""
    words = case.bank.wording[CLIENTS]
    grown = float(profile.get("age") or 0) >= case.bank.bound("consult.minors_consent/low")
    texts = [*words["idle"], *(words["idle_grown"] if grown else ())]
    picked = case.draw.branch("idle").some(texts, min(n, len(texts)))
    return [render(text, case.around() | who.words()) for text in picked]


def clear_line(case: Case, who: Person) -> str:
    """One sentence that says what was looked at and tested, and that nothing was found."""
    text = case.draw.branch("clear").one(case.bank.wording[CLIENTS]["clear"])
    return render(text, case.around() | who.words())


def hair_line(case: Case, who: Person, profile: Profile) -> str:
    """Length, thickness and pattern of the hair in one sentence."""
    text = case.draw.branch("hair").one(case.bank.wording[CLIENTS]["hair"])
    told = {
        name: case.bank.wording[CLIENTS]["kinds"][name][str(profile.get(name))]
        for name in ("hair_type", "density")
    }
    return render(
        text, case.around() | who.words() | told | {"length": profile.get("hair_length_cm")}
    )


def given_profile(profile: Profile) -> dict[str, Any]:
    """A profile for `givens`: every value, so that the case is complete without the words."""
    return dict(sorted(profile.values.items()))
