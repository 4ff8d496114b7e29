"""Items made per second, beside rendering the same words and drawings alone.

Run: python -m tests.benchmarks.generate [items a family]. All sides alternate, family by family,
on one core, in processor time. Two things are called rendering here:

- rendering: every template that an item's words came from, filled again by the same engine with
  the values that were decided, and its drawing drawn again from the measures that were decided.
  Noted while the item is made; only what stands in the finished item counts, once for the same
  words, so tries that were put aside do not.
- printing: the finished words put through one compiled Jinja template, with no drawing.

Then a form of 40 items from all families in turn, as an assessment asks for.
"""

import json
import sys
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields
from functools import partial, wraps
from statistics import median
from time import process_time
from types import ModuleType
from typing import Any

from jinja2 import Environment

from trainer.core.figures import headmap, section, signs
from trainer.core.figures.figure import Figure
from trainer.core.items.codec import as_kept
from trainer.core.items.item import Item
from trainer.core.scenarios import wording
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.use_cases.open_bank import open_bank

FORM, FORMS = 40, 25
DRAWN = (headmap.head_map, headmap.taped_map, section.several, section.ruled, signs.sign)
SAME_WORDS = """{{ stem }}
{% for option in options %}{{ option.id }}) {{ option.text }}
{% endfor %}{{ explanation }}
{% for fact in facts %}[{{ fact }}]{% endfor %}"""
PRINTED = Environment(autoescape=True).from_string(SAME_WORDS)
Noted = list[tuple[Callable[[], Any], str | Figure]]
"""Renderings that were asked for, each as it can be asked for again, with what came of it."""


@dataclass(slots=True)
class Spent:
    """Seconds of processor time over `items` items of one family or more."""

    items: int = 0
    made: float = 0.0
    rendered: float = 0.0
    printed: float = 0.0

    def add(self, more: "Spent") -> None:
        for one in fields(self):
            setattr(self, one.name, getattr(self, one.name) + getattr(more, one.name))

    @property
    def told(self) -> str:
        return (
            f"{self.items / self.made:8.0f} items/s {self.made / self.rendered:6.1f} x rendering"
            f" {self.made / self.printed:7.1f} x printing"
        )


def main(count: int) -> None:
    bank = open_bank()
    by_family: dict[str, Spent] = {}
    by_type: dict[str, list[Spent]] = defaultdict(list)
    whole = Spent()
    for family in families(bank):
        spent = by_family[family.id] = _spent(bank, family.id, count)
        by_type[family.recipe.type].append(spent)
        whole.add(spent)
    for name, spent in sorted(by_family.items(), key=lambda row: -row[1].made):
        print(f"{name:45} {spent.told}")
    print()
    for kind, there in sorted(by_type.items()):
        print(_of_many(kind, there))
    print(_of_many("all, each family alike", by_family.values()))
    print(f"\nThe mix: {whole.items} items of {len(by_family)} families, {whole.told}")
    print(f"A form of {FORM} items, middle of {FORMS}: {1000 * _form(bank):.0f} ms")


def _of_many(name: str, there: Iterable[Spent]) -> str:
    rows = [(s.made / s.rendered, s.made / s.printed, s.items / s.made) for s in there]
    render, prints, rate = (median(column) for column in zip(*rows, strict=True))
    return (
        f"{name:24} {len(rows):4} families, the middle one: {rate:6.0f} items/s,"
        f" {render:5.1f} x rendering, {prints:5.1f} x printing"
    )


def _spent(bank, name: str, count: int) -> Spent:
    generate(bank, name, 0)
    with _noting() as noted:
        again = [
            call for seed in range(1, count + 1) for call in _standing(bank, name, seed, noted)
        ]
    made = _seconds(partial(generate, bank, name, seed) for seed in range(1, count + 1))
    items = [generate(bank, name, seed) for seed in range(1, count + 1)]
    printed = _seconds(partial(_print, item) for item in items)
    return Spent(count, made, _seconds(again), printed)


def _seconds(calls: Iterable[Callable[[], Any]]) -> float:
    ready = list(calls)
    began = process_time()
    for call in ready:
        call()
    return process_time() - began


def _print(item: Item) -> str:
    return PRINTED.render(
        stem=item.stem, options=item.options, explanation=item.explanation, facts=item.facts
    )


def _standing(bank, name: str, seed: int, noted: Noted) -> Iterator[Callable[[], Any]]:
    """The renderings whose words or drawing stand in an item, each once."""
    noted.clear()
    item = generate(bank, name, seed)
    words = json.dumps(as_kept(item), ensure_ascii=False)
    svg = (item.figure or {}).get("svg")
    found = {}
    for call, came in noted:
        if isinstance(came, Figure):
            stands = came.svg == svg
        else:
            stands = json.dumps(came, ensure_ascii=False)[1:-1] in words
        if stands:
            found[str(came)] = call
    return iter(found.values())


@contextmanager
def _noting() -> Iterator[Noted]:
    """While it lasts, whatever is rendered or drawn is noted, by whichever module."""
    noted: Noted = []
    real = {one: _noted(one, noted) for one in (wording.render, *DRAWN)}
    put = [
        (module, name, one)
        for module in list(sys.modules.values())
        if isinstance(module, ModuleType) and module.__name__.startswith("trainer.core.scenarios")
        for name, one in vars(module).items()
        if callable(one) and one in real
    ]
    for module, name, one in put:
        setattr(module, name, real[one])
    try:
        yield noted
    finally:
        for module, name, one in put:
            setattr(module, name, one)


def _noted(work: Callable[..., Any], noted: Noted) -> Callable[..., Any]:
    @wraps(work)
    def asked(*given: Any) -> Any:
        came = work(*given)
        noted.append((partial(work, *given), came))
        return came

    return asked


def _form(bank) -> float:
    """Seconds for a form: families in turn, so that each form is another mix."""
    names, times = [one.id for one in families(bank)], []
    for number in range(FORMS):
        began = process_time()
        for place in range(FORM):
            generate(bank, names[(number * FORM + place) % len(names)], 1000 + number)
        times.append(process_time() - began)
    return median(times)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50)
