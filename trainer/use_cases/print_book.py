"""A whole method on one page, for paper: statements with numbers, and the sources they name."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Basis, Fact
from trainer.core.knowledge.quantity import BASIS_WORDS
from trainer.core.knowledge.source import Source
from trainer.use_cases.read_book import Chapter, chapter

PRACTICE = "common_practice"


@dataclass(frozen=True, slots=True)
class Sheet:
    """`marks`: fact id -> what it rests on, by number; `rules`: the same by rule id; `sides`:
    the same for differences' sides, by the difference's id and the side's place; `sources`:
    the works in the order of their numbers, from 1."""

    chapter: Chapter
    marks: Mapping[str, str]
    rules: Mapping[str, str]
    sides: Mapping[tuple[str, int], str]
    sources: tuple[Source, ...]


def whole(bank: Bank, method: str) -> Sheet:
    """All of one method, to print. Raises NotFound."""
    found = chapter(bank, method)
    numbers: dict[str, int] = {}
    facts = (bank.facts[name] for name in _shown(found))
    marks = {fact.id: _mark(bank, fact.basis, numbers) for fact in facts}
    sides = {
        (one.difference.id, place): _mark(bank, side.basis, numbers)
        for one in found.disputed
        for place, side in enumerate(one.difference.positions)
    }
    rules = {
        one.rule.id: _mark(bank, _bases(bank, one.rule.facts), numbers)
        for part in found.topics
        for one in part.rules
    }
    return Sheet(found, marks, rules, sides, tuple(bank.sources[name] for name in numbers))


def _shown(found: Chapter) -> Iterable[str]:
    """The facts in the order in which the page names them."""
    names: list[str] = [one.line.id for one in found.measures]
    for part in found.topics:
        names += [one.line.id for one in (*part.own, *part.shared)]
        names += [fact.id for ruled in part.rules for fact in ruled.facts]
        names += [one.answer.id for one in part.wrong_ideas if one.answer]
    told = [one.facts for group in found.troubles for one in group.troubles]
    told += [one.facts for one in (*found.care.holds, *found.care.wrong)]
    names += [fact.id for facts in told for fact in facts]
    names += [one.taught.id for one in found.disputed if one.taught]
    return dict.fromkeys(names)


def _bases(bank: Bank, facts: Iterable[str]) -> Iterable[Basis]:
    return (basis for name in facts for basis in bank.facts[name].basis)


def _mark(bank: Bank, bases: Iterable[Basis], numbers: dict[str, int]) -> str:
    """'3, p. 12; 5; usual salon practice': each work by its number, given when first named."""
    return "; ".join(dict.fromkeys(_one(bank, basis, numbers) for basis in bases))


def _one(bank: Bank, basis: Basis, numbers: dict[str, int]) -> str:
    if basis.source not in bank.sources:
        return "salon practice" if basis.kind == PRACTICE else BASIS_WORDS[basis.kind]
    number = numbers.setdefault(basis.source, len(numbers) + 1)
    weak = " (weak source)" if basis.kind == "weak" else ""
    return f"{number}, {basis.locator}{weak}" if basis.locator else f"{number}{weak}"


@dataclass(frozen=True, slots=True)
class Work:
    """A source, and the facts that rest on it."""

    source: Source
    facts: tuple[Fact, ...]


def works(bank: Bank) -> tuple[Work, ...]:
    """Every source of the book, by its citation, with what rests on it."""
    resting: dict[str, list[Fact]] = {name: [] for name in bank.sources}
    for fact in bank.facts.values():
        for name in dict.fromkeys(basis.source for basis in fact.basis if basis.source):
            resting[name].append(fact)
    found = [Work(bank.sources[name], tuple(facts)) for name, facts in resting.items()]
    return tuple(sorted(found, key=lambda one: one.source.citation.casefold()))
