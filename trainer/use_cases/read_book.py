"""The method book: what is known of a method, with what each statement rests on."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.criterion import Criterion
from trainer.core.knowledge.difference import Difference
from trainer.core.knowledge.fact import Fact
from trainer.core.knowledge.method import Method, Product, Roles
from trainer.core.knowledge.misconception import Misconception
from trainer.core.knowledge.procedure import Forbidden, Procedure, Step
from trainer.core.knowledge.quantity import BASIS_WORDS, quantity
from trainer.core.knowledge.rule import Rule
from trainer.core.knowledge.words import SERVICES, TOPICS, VERDICTS, Topic
from trainer.core.marking.feedback import FactLine, fact_line
from trainer.use_cases.read_troubles import HomeCare, TroubleGroup, home_care, troubles
from trainer.use_cases.refusals import NotFound

WORDS = "en/book"


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
class Ruled:
    """A rule with the facts that it rests on."""

    rule: Rule
    facts: tuple[FactLine, ...]


@dataclass(frozen=True, slots=True)
class Measure:
    """One figure of a method: what it is of, the figure in words, the fact that gives it."""

    what: str
    figure: str
    line: FactLine


@dataclass(frozen=True, slots=True)
class TopicPart:
    """One topic: what is known of this method alone, of others too, rules, and the wrong ideas.

    `reviewed`: the first and the last day on which one of the facts was reviewed.
    """

    topic: Topic
    own: tuple[Known, ...]
    shared: tuple[Known, ...]
    wrong_ideas: tuple[WrongIdea, ...]
    rules: tuple[Ruled, ...]
    reviewed: tuple[date, date] | None


@dataclass(frozen=True, slots=True)
class Chapter:
    """All of one method; `criteria`: by service; `reviewed` as in a topic."""

    method: Method
    topics: tuple[TopicPart, ...]
    how_to: tuple[HowTo, ...]
    troubles: tuple[TroubleGroup, ...]
    care: HomeCare
    disputed: tuple[Disputed, ...]
    criteria: tuple[tuple[str, tuple[Criterion, ...]], ...]
    agents: tuple[Product, ...]
    wrong_agents: tuple[Product, ...]
    measures: tuple[Measure, ...]
    reviewed: tuple[date, date] | None


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
        troubles(bank, method),
        home_care(bank, method),
        tuple(_disputed(bank, one, method) for one in bank.differing(method)),
        tuple(
            (service, criteria)
            for service in SERVICES
            if (criteria := bank.criteria_of(method, service))
        ),
        _products(bank, found.agents),
        _products(bank, found.wrong_agents),
        _measures(bank, method),
        _reviewed(bank.facts_of(method)),
    )


def _topic(bank: Bank, method: str, topic: Topic) -> TopicPart | None:
    facts = [fact for fact in bank.facts_of(method) if fact.topic == topic]
    facts.sort(key=lambda one: not one.critical)
    own, shared = (
        tuple(
            Known(fact_line(bank, fact, method), fact.critical)
            for fact in facts
            if (fact.method == method) is mine
        )
        for mine in (True, False)
    )
    wrong = tuple(_wrong_idea(bank, one, method) for one in bank.misconceptions_of(method, topic))
    rules = _rules(bank, method, topic)
    if not (facts or wrong or rules):
        return None
    return TopicPart(topic, own, shared, wrong, rules, _reviewed(facts))


def _rules(bank: Bank, method: str, topic: Topic) -> tuple[Ruled, ...]:
    """The rules on a topic, the gravest verdict first."""
    found = [rule for rule in bank.rules_of(method) if rule.topic == topic]
    found.sort(key=lambda rule: -VERDICTS.index(rule.verdict))
    return tuple(
        Ruled(rule, tuple(fact_line(bank, bank.facts[name], method) for name in rule.facts))
        for rule in found
    )


def _reviewed(facts: Iterable[Fact]) -> tuple[date, date] | None:
    days = [fact.reviewed for fact in facts]
    return (min(days), max(days)) if days else None


def _measures(bank: Bank, method: str) -> tuple[Measure, ...]:
    """The figures that a method has, each by the part it plays in plans."""
    named: Mapping[str, str] = bank.wording.get(WORDS, {}).get("measures", {})
    return tuple(
        Measure(
            named.get(role, role.replace("_", " ").capitalize()),
            quantity(fact.low, fact.high, fact.unit),
            fact_line(bank, fact, method),
        )
        for role in Roles.__slots__
        if (fact := bank.role(method, role)) is not None and fact.low is not None
    )


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


def _disputed(bank: Bank, difference: Difference, method: str) -> Disputed:
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
    return Disputed(difference, tuple(sides), fact_line(bank, fact, method) if fact else None)


def _told(status: str, works: Iterable[str]) -> list[str]:
    named = "; ".join(dict.fromkeys(works))
    return [part for part in (status, named) if part]


def _wrong_idea(bank: Bank, wrong: Misconception, method: str) -> WrongIdea:
    fact = bank.facts.get(wrong.answer)
    return WrongIdea(wrong, fact_line(bank, fact, method) if fact else None)


def _products(bank: Bank, ids: Sequence[str]) -> tuple[Product, ...]:
    return tuple(bank.products[one] for one in ids if one in bank.products)


def lines(bank: Bank) -> Mapping[str, FactLine]:
    """Every fact by id, as it is read."""
    return {name: fact_line(bank, fact) for name, fact in bank.facts.items()}
