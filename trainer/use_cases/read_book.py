"""The method book: what is known of a method, with what each statement rests on."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.criterion import Criterion
from trainer.core.knowledge.difference import Difference
from trainer.core.knowledge.method import Method, Product
from trainer.core.knowledge.misconception import Misconception
from trainer.core.knowledge.procedure import Forbidden, Procedure, Step
from trainer.core.knowledge.quantity import BASIS_WORDS
from trainer.core.knowledge.words import SERVICES, TOPICS, Topic
from trainer.core.marking.feedback import FactLine, fact_line
from trainer.use_cases.refusals import NotFound


@dataclass(frozen=True, slots=True)
class Known:
    """One statement with its sources; `critical`: getting it wrong can injure."""

    line: FactLine
    critical: bool


@dataclass(frozen=True, slots=True)
class Placed:
    """One step with the numbers of the steps that must come before it."""

    number: int
    step: Step
    after: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class HowTo:
    """One service, in an order that keeps every rule of what comes first."""

    procedure: Procedure
    steps: tuple[Placed, ...]
    forbidden: tuple[Forbidden, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a difference, with what it rests on in words."""

    statement: str
    rests_on: str


@dataclass(frozen=True, slots=True)
class Disputed:
    """A question on which sources differ; `taught`: the statement that is taught, if any."""

    difference: Difference
    sides: tuple[Side, ...]
    taught: FactLine | None


@dataclass(frozen=True, slots=True)
class WrongIdea:
    """A misconception and the statement that answers it."""

    wrong: Misconception
    answer: FactLine | None


@dataclass(frozen=True, slots=True)
class TopicPart:
    """One topic: what is known of this method alone, of others too, and the wrong ideas."""

    topic: Topic
    own: tuple[Known, ...]
    shared: tuple[Known, ...]
    wrong_ideas: tuple[WrongIdea, ...]


@dataclass(frozen=True, slots=True)
class Chapter:
    """All of one method; `criteria`: by service."""

    method: Method
    topics: tuple[TopicPart, ...]
    how_to: tuple[HowTo, ...]
    disputed: tuple[Disputed, ...]
    criteria: tuple[tuple[str, tuple[Criterion, ...]], ...]
    agents: tuple[Product, ...]
    wrong_agents: tuple[Product, ...]


def methods(bank: Bank) -> tuple[Method, ...]:
    """Every method, in the book's order."""
    return tuple(sorted(bank.methods.values(), key=lambda one: (one.order, one.id)))


def chapter(bank: Bank, method: str) -> Chapter:
    """What is known of one method. Raises NotFound."""
    found = bank.methods.get(method)
    if found is None:
        raise NotFound
    return Chapter(
        found,
        tuple(part for topic in TOPICS if (part := _topic(bank, method, topic)) is not None),
        tuple(
            _how_to(procedure)
            for service in SERVICES
            if (procedure := bank.procedure(method, service)) is not None
        ),
        tuple(_disputed(bank, one) for one in bank.differing(method)),
        tuple(
            (service, criteria)
            for service in SERVICES
            if (criteria := bank.criteria_of(method, service))
        ),
        _products(bank, found.agents),
        _products(bank, found.wrong_agents),
    )


def _topic(bank: Bank, method: str, topic: Topic) -> TopicPart | None:
    facts = [fact for fact in bank.facts_of(method) if fact.topic == topic]
    facts.sort(key=lambda one: not one.critical)
    own, shared = (
        tuple(
            Known(fact_line(bank, fact), fact.critical)
            for fact in facts
            if (fact.method == method) is mine
        )
        for mine in (True, False)
    )
    wrong = tuple(_wrong_idea(bank, one) for one in bank.misconceptions_of(method, topic))
    return TopicPart(topic, own, shared, wrong) if facts or wrong else None


def _how_to(procedure: Procedure) -> HowTo:
    order = in_order(procedure.steps)
    number = {step.id: n for n, step in enumerate(order, 1)}
    placed = (
        Placed(n, step, tuple(sorted(number[before] for before in step.after)))
        for n, step in enumerate(order, 1)
    )
    return HowTo(procedure, tuple(placed), procedure.forbidden)


def in_order(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps, each after all that it must follow, else as they stand."""
    waiting, done = list(steps), list[Step]()
    while waiting:
        placed = {step.id for step in done}
        free = next((step for step in waiting if set(step.after) <= placed), waiting[0])
        waiting.remove(free)
        done.append(free)
    return tuple(done)


def _disputed(bank: Bank, difference: Difference) -> Disputed:
    sides = []
    for position in difference.positions:
        status = dict.fromkeys(BASIS_WORDS[basis.kind] for basis in position.basis)
        works = [
            bank.sources[basis.source].citation.rstrip(".")
            for basis in position.basis
            if basis.source in bank.sources
        ]
        said = ": ".join(_told("; ".join(status), works))
        sides.append(Side(position.statement, said[:1].upper() + said[1:]))
    fact = bank.facts.get(difference.teaches)
    return Disputed(difference, tuple(sides), fact_line(bank, fact) if fact else None)


def _told(status: str, works: Iterable[str]) -> list[str]:
    named = "; ".join(dict.fromkeys(works))
    return [part for part in (status, named) if part]


def _wrong_idea(bank: Bank, wrong: Misconception) -> WrongIdea:
    fact = bank.facts.get(wrong.answer)
    return WrongIdea(wrong, fact_line(bank, fact) if fact else None)


def _products(bank: Bank, ids: Sequence[str]) -> tuple[Product, ...]:
    return tuple(bank.products[one] for one in ids if one in bank.products)
