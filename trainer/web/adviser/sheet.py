"""The questions about a client, made from the bank's profile; what was written, read back."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from trainer.core.advice.profile import Profile, contradictions, defaults
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Attribute, Value
from trainer.core.knowledge.quantity import UNITS, in_words, quantity
from trainer.core.knowledge.reach import allowed

WORDS = "en/adviser"
NONE, YES = "none", "yes"
UNSAID = "Not known"


@dataclass
class Question:
    """One question as the page shows it. `options`: (value, words) of a choice."""

    attribute: Attribute
    help: str
    options: tuple[tuple[str, str], ...]
    value: str
    error: str = ""

    @property
    def noted(self) -> bool:
        """Whether anything was written that is not taken anyway."""
        usual = YES if self.attribute.default is True else ("", NONE, self.attribute.default)
        return self.value != usual if isinstance(usual, str) else self.value not in usual

    @property
    def several(self) -> str:
        """The unit, as said of several."""
        return UNITS[self.attribute.unit][1]


@dataclass
class Part:
    """Questions that belong together."""

    id: str
    title: str
    help: str
    questions: tuple[Question, ...]

    @property
    def noted(self) -> int:
        """How many say something of this client."""
        return sum(one.noted for one in self.questions)

    @property
    def wrong(self) -> bool:
        """Whether one of them has to be looked at again."""
        return any(one.error for one in self.questions)


@dataclass
class ClientSheet:
    """The whole sheet: the day, its parts, and what is said of the client."""

    bank: Bank
    parts: tuple[Part, ...]
    day: str
    day_error: str = ""
    said: dict[str, Value] = field(default_factory=dict)

    @property
    def wrong(self) -> list[Question]:
        """Every question to look at again."""
        return [one for part in self.parts for one in part.questions if one.error]

    @property
    def sound(self) -> bool:
        """Whether all of it can be used."""
        return not self.wrong and not self.day_error

    @property
    def profile(self) -> Profile:
        """What was said, and what goes without saying."""
        return Profile({**defaults(self.bank), **self.said})

    @property
    def noted(self) -> list[tuple[str, str]]:
        """What was written that is not taken anyway: each question with its answer in words."""
        every = (one for part in self.parts for one in part.questions)
        return [self.words_for(one.attribute.id) for one in every if one.noted]

    def words_for(self, name: str) -> tuple[str, str]:
        """A question and its value in the profile, in words."""
        attribute, value = self.bank.attributes[name], self.profile.get(name)
        return attribute.label, _said(self.bank, attribute, value)


def blank(bank: Bank, today: date) -> ClientSheet:
    """A sheet with nothing written on it."""
    return ClientSheet(bank, _parts(bank, None), today.isoformat())


def filled(bank: Bank, sent: Mapping[str, str], today: date) -> ClientSheet:
    """What was sent, read; whatever cannot be used is marked where it stands."""
    sheet = ClientSheet(bank, _parts(bank, sent), sent.get("on", "") or today.isoformat())
    try:
        date.fromisoformat(sheet.day)
    except ValueError:
        sheet.day_error = "Write a day, such as 2026-03-03."
    questions = {one.attribute.id: one for part in sheet.parts for one in part.questions}
    for question in questions.values():
        _read(question, sheet.said)
    for why, where in contradictions(bank, sheet.profile):
        for name in where.split(" and "):
            questions[name].error = questions[name].error or f"{why} Correct one of these."
    return sheet


def _read(question: Question, said: dict[str, Value]) -> None:
    attribute, value = question.attribute, question.value
    if attribute.kind == "flag":
        said[attribute.id] = value == YES
        return
    if not value:
        return
    found: Value | None = value if attribute.kind == "choice" else _number(attribute, value)
    if found is None or not allowed(attribute, found):
        question.error = _expected(attribute)
    else:
        said[attribute.id] = found


def _number(attribute: Attribute, text: str) -> Value | None:
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        return None
    return int(number) if attribute.whole and number.is_integer() else number


def _expected(attribute: Attribute) -> str:
    if attribute.kind == "choice":
        return "Choose one of the list."
    whole = "a whole number" if attribute.whole else "a number"
    return f"Write {whole} from {quantity(attribute.low, attribute.high, attribute.unit)}."


def _parts(bank: Bank, sent: Mapping[str, str] | None) -> tuple[Part, ...]:
    words = bank.wording.get(WORDS, {})
    groups: Mapping[str, Any] = words.get("groups", {})
    there = dict.fromkeys(one.group for one in bank.attributes.values())
    order = [*(one for one in words.get("order", ()) if one in there)]
    order += [one for one in there if one not in order]
    return tuple(
        Part(
            name,
            groups.get(name, {}).get("title", name.capitalize()),
            groups.get(name, {}).get("help", ""),
            tuple(
                _question(bank, one, sent) for one in bank.attributes.values() if one.group == name
            ),
        )
        for name in order
    )


def _question(bank: Bank, attribute: Attribute, sent: Mapping[str, str] | None) -> Question:
    options = tuple(_options(bank, attribute))
    if sent is not None:
        value = sent.get(attribute.id, "").strip()
    elif attribute.kind == "flag":
        value = YES if attribute.default else ""
    else:
        value = NONE if attribute.default == NONE else ""
    return Question(attribute, _help(bank, attribute), options, value)


def _options(bank: Bank, attribute: Attribute) -> Iterator[tuple[str, str]]:
    if attribute.kind != "choice":
        return
    if attribute.default != NONE:
        yield "", UNSAID
    for value in attribute.values:
        yield value, _said(bank, attribute, value)


def _said(bank: Bank, attribute: Attribute, value: Value | None) -> str:
    """A value in words; a method's id as its name."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{in_words(value)} {UNITS[attribute.unit][1]}".strip()
    known = bank.wording.get(WORDS, {}).get("choices", {}).get(attribute.id, {})
    if value in bank.methods:
        return bank.methods[str(value)].name
    return str(known.get(value, str(value).replace("_", " ").capitalize()))


def _help(bank: Bank, attribute: Attribute) -> str:
    if attribute.kind != "number":
        return ""
    if attribute.default is None:
        return "Leave empty if never, or not known."
    return f"If left empty, {_said(bank, attribute, attribute.default)} is taken."
