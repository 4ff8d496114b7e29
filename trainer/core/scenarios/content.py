"""What an item decides about, names and phrasing removed: when are two items the same?

Read from `givens`, never from the words shown:

- a client profile becomes the rule conditions that it meets, for the methods concerned: two
  clients whom no condition tells apart are the same case;
- what is keyed by an option's text (lines of a plan, steps, signs) becomes the ids behind it,
  in no order; ids in a list are in no order either; where every line is judged by itself
  (choose_all), one with nothing behind it stands for itself, in its words;
- dates become the days from the earliest, with its weekday where it is told on which days the
  salon works: the same weeks a month later are the same reckoning;
- an option's text in a list stands for itself, in its words alone, without names and pronouns;
  but for the one right answer, however phrased, which the rest settles;
- of a consultation only client, skin test and methods count: not its day, nor the card;
- the names of made-up people are left out; figures stay as they are, with a numeric key.

What stands in no givens makes no other case: which wrong answers stood beside a key, for one; so
what each option means (`meanings`) is left out.
"""

import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.profile_sheet import Condition
from trainer.core.knowledge.reach import meets

SHORT = 16
MEANINGS = "meanings"
ISO_LENGTH = len("2026-01-01")
OPEN = "open_weekdays"
CONSULTED = ("profile", "skin_test", "booked", "methods")
"""What a consultation is about; its day, and what stood on the card, make no other client."""
WORD = re.compile(r"[a-z0-9.]+")
VERBS = ("has", "have", "is", "are", "was", "were", "does", "do")
"""Words that go with a pronoun: 'has' with 'she', 'have' with 'they'."""


def content(bank: Bank, item: Item) -> str:
    """The decision in an item as canonical JSON: same decision, same text."""
    methods = tuple(item.givens.get("methods", ())) or (item.heading.method,)
    known = tuple(one for one in methods if one in bank.methods)
    givens = _deciding(item)
    days = [day for value in givens.values() for day in _days_in(value)]
    around = _Around(
        bank,
        _told(bank, item),
        bank.once(("names of people",), lambda: _names(bank)),
        _conditions(bank, known),
        min(days, default=None),
        OPEN in givens,
        item.heading.type == "choose_all",
    )
    bare = {name: around.bare(value) for name, value in givens.items() if name != MEANINGS}
    figure = item.key["value"] if item.heading.type == "number" else None
    return _canonical([item.heading.family, bare, figure])


def _deciding(item: Item) -> Mapping[str, Any]:
    """The givens, but of a consultation only what its decision turns on."""
    if item.heading.type != "consultation":
        return item.givens
    return {name: item.givens[name] for name in CONSULTED}


def fingerprint(bank: Bank, item: Item) -> str:
    """A short name for an item's content: 16 hexadecimal digits."""
    return hashlib.sha256(content(bank, item).encode()).hexdigest()[:SHORT]


class _Around:
    """What the values of one item are read against."""

    def __init__(
        self,
        bank: Bank,
        texts: Mapping[str, str],
        names: frozenset[str],
        conditions: tuple[Condition, ...],
        start: date | None,
        on_weekdays: bool,
        each: bool,
    ) -> None:
        self._bank, self._texts, self._names = bank, texts, names
        self._conditions, self._start, self._on_weekdays = conditions, start, on_weekdays
        self._each = each

    def bare(self, value: Any) -> Any:
        """A value without words and names."""
        if isinstance(value, Mapping):
            return self._mapping(value)
        if isinstance(value, list | tuple):
            rows = [self.bare(one) for one in value]
            return rows if _in_order(value) else sorted(rows, key=_canonical)
        if isinstance(value, str):
            return self._word(value)
        return value

    def _mapping(self, value: Mapping[str, Any]) -> Any:
        if value and set(value) <= set(self._bank.attributes):
            return self._met(value)
        if value and self._texts.keys() & set(value):
            return sorted((self._behind(*row) for row in value.items()), key=_canonical)
        return {name: self.bare(one) for name, one in sorted(value.items())}

    def _behind(self, text: str, value: Any) -> Any:
        """What an option's text stands for."""
        return self._texts.get(text, "") if self._each and not value else self.bare(value)

    def _met(self, profile: Mapping[str, Any]) -> list[int]:
        return [
            number
            for number, condition in enumerate(self._conditions)
            if meets(self._bank, condition, profile.get(condition.attribute))
        ]

    def _word(self, value: str) -> Any:
        day = _day(value)
        if day is not None and self._start is not None:
            after = (day - self._start).days
            return [self._start.weekday(), after] if self._on_weekdays else after
        return "" if value in self._names else self._texts.get(value, value)


def _told(bank: Bank, item: Item) -> dict[str, str]:
    """The text of each option -> its words without people; the one right answer -> none."""
    settled = item.key if item.heading.type == "choose_one" else ()
    people = bank.once(("words of people",), lambda: _words_of_people(bank))
    return {
        o.text: "" if o.id in settled else _without(people, o.text.lower()) for o in item.options
    }


def _names(bank: Bank) -> frozenset[str]:
    return frozenset(row[0] for row in bank.people.get("names", ()))


def _words_of_people(bank: Bank) -> frozenset[str]:
    """Names, pronouns and the verbs that go with them, in lower case."""
    pronouns = (word for row in bank.people.get("pronouns", {}).values() for word in row)
    return frozenset(word.lower() for word in (*_names(bank), *pronouns, *VERBS))


def _without(people: frozenset[str], text: str) -> str:
    """The words of a text but for those of people; plurals and verbs without their s."""
    return " ".join(word.rstrip("s") for word in WORD.findall(text) if word not in people)


def _in_order(values: Iterable[Any]) -> bool:
    """Numbers and days stand in an order that means something; ids do not."""
    return all(not isinstance(one, str) or _day(one) is not None for one in values)


def _days_in(value: Any) -> Iterator[date]:
    if isinstance(value, str):
        day = _day(value)
        if day is not None:
            yield day
    elif isinstance(value, Mapping):
        for one in value.values():
            yield from _days_in(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from _days_in(one)


def _day(value: str) -> date | None:
    if len(value) != ISO_LENGTH or not value[:1].isdigit():
        return None
    try:
        return date.fromisoformat(value)
    except ValueError:
        return None


def _conditions(bank: Bank, methods: tuple[str, ...]) -> tuple[Condition, ...]:
    """Every condition of a rule that speaks of one of the methods, each once."""
    return bank.once(
        ("conditions", methods),
        lambda: tuple(
            dict.fromkeys(
                condition
                for method in methods
                for rule in bank.rules_of(method)
                for condition in (*rule.when, *rule.unless)
            )
        ),
    )


def _canonical(value: Any) -> str:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), default=str)
