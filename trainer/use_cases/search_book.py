"""Search the method book: words over statements, rules, steps, wrong ideas and sources."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from trainer.core.knowledge.bank import ALL, BONDED, Bank
from trainer.core.knowledge.find import Folding, Found, Passage, find, folding
from trainer.core.knowledge.procedure import Procedure
from trainer.core.knowledge.spelling import american_words
from trainer.core.marking.feedback import fact_line
from trainer.use_cases.read_troubles import went_wrong

WORDS = "en/book"
SOURCES = "sources"
STEPS, DIFFERENCES = "steps", "differences"
MOST_IN_GROUP = 20
LONGEST_QUERY = 100
KINDS = (
    *("statement", "rule", "never", "step", "trouble", "care", "miscare"),
    *("idea", "difference", "source"),
)
BY_CHAPTER = ("never", "step")
"""What each chapter has of its own."""


@dataclass(frozen=True, slots=True)
class Group:
    """What was found of one method, of all, or among the sources; `more`: left out."""

    scope: str
    found: tuple[Found, ...]
    more: int


@dataclass(frozen=True, slots=True)
class Result:
    """`whole`: every word was found; else the passages hold some. `searched`: kind -> how many."""

    query: str
    groups: tuple[Group, ...]
    count: int
    whole: bool
    searched: Mapping[str, int]


@dataclass(frozen=True)
class Index:
    """Every passage of a bank, folded once."""

    folding: Folding
    passages: tuple[Passage, ...]
    searched: Mapping[str, int]


def search(bank: Bank, query: str) -> Result:
    """Look a query up. An empty one finds nothing and says what would be searched."""
    index = index_of(bank)
    asked = " ".join(query[:LONGEST_QUERY].split())
    found, whole = find(index.folding, index.passages, asked)
    found.sort(key=lambda one: (not _in_text(one), KINDS.index(one.passage.kind)))
    scopes = (ALL, BONDED, *bank.methods, SOURCES)
    groups = (_group(scope, found) for scope in scopes)
    shown = tuple(group for group in groups if group.found)
    return Result(asked, shown, len(found), whole, index.searched)


def _in_text(found: Found) -> bool:
    """Whether the statement itself holds a word asked for, not only what stands beside it."""
    return any(wanted for _, wanted in found.text)


def _group(scope: str, found: list[Found]) -> Group:
    mine = [one for one in found if one.passage.scope == scope]
    return Group(scope, tuple(mine[:MOST_IN_GROUP]), max(0, len(mine) - MOST_IN_GROUP))


def index_of(bank: Bank) -> Index:
    """The bank's index, made when it is first asked for."""
    return bank.once(("book index",), lambda: _index(bank))


def _index(bank: Bank) -> Index:
    words: Mapping[str, Any] = bank.wording.get(WORDS, {})
    made = folding(american_words(bank), words.get("skip", ()), words.get("also", ()))
    passages = tuple(
        Passage(*row, made.words(f"{row[-2]} {row[-1]}")) for rows in ROWS for row in rows(bank)
    )
    every = {(one.kind, one.id, one.chapter * (one.kind in BY_CHAPTER)) for one in passages}
    return Index(made, passages, Counter(kind for kind, _, _ in every))


Row = tuple[str, str, str, str, str, str, str]
"""kind, id, scope, chapter, page, text, beside."""


def _rules(bank: Bank) -> Iterator[Row]:
    for rule in bank.rules.values():
        beside = f"{rule.do} {rule.change}"
        for scope, chapter in _scopes(bank, rule.methods):
            yield "rule", rule.id, scope, chapter, rule.topic, rule.statement, beside


def _ideas(bank: Bank) -> Iterator[Row]:
    for wrong in bank.misconceptions.values():
        beside = f"{wrong.leads_to} {wrong.remedy}"
        for scope, chapter in _scopes(bank, wrong.methods):
            yield "idea", wrong.id, scope, chapter, wrong.topic, wrong.belief, beside


def _differences(bank: Bank) -> Iterator[Row]:
    for differs in bank.differences.values():
        sides = " ".join(side.statement for side in differs.positions)
        for scope, chapter in _scopes(bank, differs.methods):
            yield "difference", differs.id, scope, chapter, DIFFERENCES, differs.question, sides


def _sources(bank: Bank) -> Iterator[Row]:
    for source in bank.sources.values():
        yield "source", source.id, SOURCES, "", SOURCES, source.citation, source.locator


def _statements(bank: Bank) -> Iterator[Row]:
    for fact in bank.facts.values():
        line = fact_line(bank, fact)
        status = f"{line.status_words[:1].upper()}{line.status_words[1:]}"
        beside = f"{status}: {line.source_words}" if line.source_words else status
        yield "statement", fact.id, fact.method, line.chapter, fact.topic, line.statement, beside


def _steps(bank: Bank) -> Iterator[Row]:
    for procedure in bank.procedures.values():
        yield from _steps_of(procedure)


def _steps_of(procedure: Procedure) -> Iterator[Row]:
    method, place = procedure.method, procedure.service
    for step in procedure.steps:
        yield "step", f"{place}-{step.id}", method, method, STEPS, step.text, step.why
    for never in procedure.forbidden:
        yield "never", f"{place}-{never.id}", method, method, STEPS, never.text, never.because


def _troubles(bank: Bank) -> Iterator[Row]:
    for trouble in bank.troubles.values():
        for scope, chapter in _scopes(bank, trouble.methods):
            told = went_wrong(bank, trouble, chapter)
            beside = " ".join((*told.also, told.do, told.because))
            yield "trouble", trouble.id, scope, chapter, STEPS, told.seen, beside


def _care(bank: Bank) -> Iterator[Row]:
    for line in bank.home_care.values():
        for kind, methods in (("care", line.holds_for), ("miscare", line.wrong_for)):
            for scope, chapter in _scopes(bank, methods):
                yield kind, line.id, scope, chapter, STEPS, line.text, line.because


def _scopes(bank: Bank, scope: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Each scope with the chapter in which it is read."""
    for one in scope:
        yield one, bank.chapter_of((one,))


ROWS = (_statements, _rules, _steps, _troubles, _care, _ideas, _differences, _sources)
