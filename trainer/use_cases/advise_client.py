"""Advise on a client at the chair: verdict, reasons and plan per method. Nothing is kept."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from trainer.core.advice.advise import Advice, advise
from trainer.core.advice.air import Air, air
from trainer.core.advice.load import Load, loads
from trainer.core.advice.plan import Line
from trainer.core.advice.profile import Profile
from trainer.core.advice.verdict import Reason, loose
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.method import Method
from trainer.core.knowledge.quantity import quantity
from trainer.core.knowledge.words import VERDICTS
from trainer.core.marking.feedback import FactLine, fact_line

WISHES = ("wanted_grams", "wanted_length_cm")


@dataclass(frozen=True, slots=True)
class Because:
    """A reason with the facts that it rests on."""

    reason: Reason
    facts: tuple[FactLine, ...]


@dataclass(frozen=True, slots=True)
class PlanLine:
    """A line of the plan with the facts behind its figure."""

    line: Line
    facts: tuple[FactLine, ...]


@dataclass(frozen=True, slots=True)
class SolventAir:
    """A solvent remover, with its cautions and the facts behind the example."""

    air: Air
    cautions: tuple[FactLine, ...]
    facts: tuple[FactLine, ...]


@dataclass(frozen=True, slots=True)
class MethodAdvice:
    """One method: `own`: reasons that do not hold for every method; `missing`: as in the plan."""

    method: Method
    advice: Advice
    own: tuple[Because, ...]
    lines: tuple[PlanLine, ...]
    loads: tuple[Load, ...]
    load_facts: tuple[FactLine, ...]
    airs: tuple[SolventAir, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ClientAdvice:
    """`shared`: reasons that hold whatever the method; `methods`: the mildest verdict first.

    `wished`: weight and length of added hair, in words.
    """

    day: date
    wished: tuple[str, ...]
    shared: tuple[Because, ...]
    methods: tuple[MethodAdvice, ...]


def advise_client(bank: Bank, profile: Profile, day: date) -> ClientAdvice:
    """Advice on a client seen on a day, for every method."""
    found = advise(bank, profile, day)
    spoken = [{reason.rule for reason in one.reasons} for one in found.values()]
    everywhere = set.intersection(*spoken) if len(spoken) > 1 else set()
    shared = next(iter(found.values())).reasons if everywhere else ()
    made = [_of(bank, profile, bank.methods[name], one, everywhere) for name, one in found.items()]
    made.sort(key=lambda one: (VERDICTS.index(one.advice.verdict), one.method.order))
    common = _because(bank, (reason for reason in shared if reason.rule in everywhere), "")
    return ClientAdvice(day, tuple(_wished(bank, profile)), common, tuple(made))


def _wished(bank: Bank, profile: Profile) -> Iterator[str]:
    for name in WISHES:
        value = profile.get(name)
        if isinstance(value, int | float) and name in bank.attributes:
            yield quantity(value, value, bank.attributes[name].unit)


def _of(
    bank: Bank, profile: Profile, method: Method, advice: Advice, everywhere: set[str]
) -> MethodAdvice:
    name, planned = method.id, advice.plan
    own = (reason for reason in advice.reasons if reason.rule not in everywhere)
    lines = planned.lines if planned else ()
    pulls = loads(bank, name, profile) if planned else ()
    stays = method.bonded and not loose(bank, name, profile)
    return MethodAdvice(
        method,
        advice,
        _because(bank, own, name),
        tuple(PlanLine(line, _facts(bank, line.facts, name)) for line in lines),
        pulls,
        _facts(bank, pulls[0].facts if pulls else (), name),
        tuple(_air(bank, one, name) for one in air(bank, name)) if planned and stays else (),
        planned.missing if planned and stays else (),
    )


def _because(bank: Bank, reasons: Iterable[Reason], method: str) -> tuple[Because, ...]:
    return tuple(Because(one, _facts(bank, one.facts, method)) for one in reasons)


def _air(bank: Bank, one: Air, method: str) -> SolventAir:
    return SolventAir(one, _facts(bank, one.cautions, method), _facts(bank, one.facts, method))


def _facts(bank: Bank, names: Iterable[str], method: str) -> tuple[FactLine, ...]:
    return tuple(fact_line(bank, bank.facts[name], method) for name in names)


def taken_as_read(bank: Bank, said: Mapping[str, Any], profile: Profile) -> Iterable[str]:
    """The attributes that nobody spoke of and that have a usual value, flags left out."""
    return (
        name for name in profile.values if name not in said and bank.attributes[name].kind != "flag"
    )
