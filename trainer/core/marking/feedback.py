"""What is said after an answer: right or not, why, why it tempted, the facts, what to do."""

from dataclasses import dataclass

from trainer.core.items.item import Item, Json, Mark
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.fact import Basis, Fact
from trainer.core.knowledge.quantity import BASIS_WORDS, said


@dataclass(frozen=True, slots=True)
class FactLine:
    """A fact with what it rests on, in words, and where the book holds it: method and topic."""

    id: str
    statement: str
    status_words: str
    source_words: str
    chapter: str = ""
    topic: str = ""


@dataclass(frozen=True, slots=True)
class Feedback:
    """`tempts`: why the wrong choices tempt and what they would do; `at_the_chair`: what to do."""

    right: bool
    score: float
    critical_error: bool
    key_lines: tuple[str, ...]
    said_lines: tuple[str, ...]
    why: str
    tempts: tuple[str, ...]
    facts: tuple[FactLine, ...]
    at_the_chair: str


def feedback(bank: Bank, item: Item, response: Json, mark: Mark) -> Feedback:
    """Feedback on a response. What a newer bank no longer holds is left out."""
    kind = type_of(item)
    beliefs = [bank.misconceptions[m] for m in mark.misconceptions if m in bank.misconceptions]
    method = item.heading.method
    notes = dict.fromkeys(item.notes[wrong] for wrong in mark.wrong if item.notes.get(wrong))
    return Feedback(
        right=mark.right,
        score=mark.score,
        critical_error=mark.critical_error,
        key_lines=tuple(kind.say_key(item)),
        said_lines=tuple(kind.say_response(item, response)),
        why=item.explanation,
        tempts=tuple(notes) or tuple(belief.leads_to for belief in beliefs),
        facts=tuple(fact_line(bank, bank.facts[f], method) for f in item.facts if f in bank.facts),
        at_the_chair=beliefs[0].remedy if beliefs else "",
    )


def fact_line(bank: Bank, fact: Fact, method: str = "") -> FactLine:
    """A fact for people: statement, status and sources; read with `method` if it can be."""
    status = dict.fromkeys(BASIS_WORDS[basis.kind] for basis in fact.basis)
    sources = dict.fromkeys(filter(None, (_source(bank, basis) for basis in fact.basis)))
    chapter = bank.chapter_of((fact.method,), method)
    words = ("; ".join(status), "; ".join(sources).replace(".;", ";"))
    return FactLine(fact.id, said(fact), *words, chapter, fact.topic)


def _source(bank: Bank, basis: Basis) -> str:
    source = bank.sources.get(basis.source)
    if source is None:
        return ""
    return f"{source.citation.rstrip('.')}, {basis.locator}" if basis.locator else source.citation
