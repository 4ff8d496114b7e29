"""What an item decides about, names and phrasing removed: when are two items the same?

Read from `givens`, never from the words shown:

- a client profile becomes the rule conditions that it meets, for the methods concerned: two
  clients whom no condition tells apart are the same case;
- what is keyed by an option's text (lines of a plan, steps, signs) becomes the ids behind it,
  in no order; ids in a list are in no order either;
- dates become the weekday of the earliest and the days from it: the same weeks a month later
  are the same reckoning;
- the names of made-up people are left out; figures stay as they are, with a numeric key.

Which wrong answers stood beside a key does not make another case, so what each option means
(`meanings`) is left out.
"""

import hashlib
import json
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


def content(bank: Bank, item: Item) -> str:
    """The decision in an item as canonical JSON: same decision, same text."""
    methods = tuple(item.givens.get("methods", ())) or (item.heading.method,)
    known = tuple(one for one in methods if one in bank.methods)
    days = [day for value in item.givens.values() for day in _days_in(value)]
    around = _Around(
        bank,
        frozenset(option.text for option in item.options),
        frozenset(row[0] for row in bank.people.get("names", ())),
        _conditions(bank, known),
        min(days, default=None),
    )
    bare = {name: around.bare(value) for name, value in item.givens.items() if name != MEANINGS}
    figure = item.key["value"] if item.heading.type == "number" else None
    return _canonical([item.heading.family, bare, figure])


def fingerprint(bank: Bank, item: Item) -> str:
    """A short name for an item's content: 16 hexadecimal digits."""
    return hashlib.sha256(content(bank, item).encode()).hexdigest()[:SHORT]


class _Around:
    """What the values of one item are read against."""

    def __init__(
        self,
        bank: Bank,
        texts: frozenset[str],
        names: frozenset[str],
        conditions: tuple[Condition, ...],
        start: date | None,
    ) -> None:
        self._bank, self._texts, self._names = bank, texts, names
        self._conditions, self._start = conditions, start

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
        if value and set(value) & self._texts:
            return sorted((self.bare(one) for one in value.values()), key=_canonical)
        return {name: self.bare(one) for name, one in sorted(value.items())}

    def _met(self, profile: Mapping[str, Any]) -> list[int]:
        return [
            number
            for number, condition in enumerate(self._conditions)
            if meets(self._bank, condition, profile.get(condition.attribute))
        ]

    def _word(self, value: str) -> Any:
        day = _day(value)
        if day is not None and self._start is not None:
            return [self._start.weekday(), (day - self._start).days]
        return "" if value in self._names or value in self._texts else value


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
