"""What a method's remover does to the air of a room, where it is a solvent."""

from dataclasses import dataclass

from trainer.core.advice.vapour import vapour_ppm
from trainer.core.knowledge.bank import Bank
from trainer.core.knowledge.method import Vapour
from trainer.core.knowledge.quantity import quantity


@dataclass(frozen=True, slots=True)
class Air:
    """A solvent remover: what to say of it, by fact id, and the example where figures are known.

    `ppm`: the share of a closed room's air once the example's amount has dried [ppm], None
    where a figure is missing; `above`: more than the limit over a working day; `amount` and
    `room`: the example in words.
    """

    agent: str
    cautions: tuple[str, ...]
    ppm: float | None
    above: bool
    facts: tuple[str, ...]
    amount: str = ""
    room: str = ""


def air(bank: Bank, method: str) -> tuple[Air, ...]:
    """The solvents among what takes a method off, in the method's order."""
    products = (bank.products[name] for name in bank.methods[method].agents)
    return tuple(_air(bank, one.name, one.vapour) for one in products if one.vapour)


def _air(bank: Bank, agent: str, vapour: Vapour) -> Air:
    named = (vapour.amount, vapour.density, vapour.molar_mass, vapour.room)
    if not all(named):
        return Air(agent, vapour.cautions, None, False, ())
    ppm = vapour_ppm(*(bank.bound(f"{name}/low") for name in named))
    limit = bank.bound(f"{vapour.limit}/low") if vapour.limit else None
    facts = tuple(filter(None, (*named, vapour.limit)))
    above = limit is not None and ppm > limit
    example = (_words(bank, vapour.amount), _words(bank, vapour.room))
    return Air(agent, vapour.cautions, ppm, above, facts, *example)


def _words(bank: Bank, name: str) -> str:
    fact = bank.facts[name]
    return quantity(fact.low, fact.high, fact.unit)
