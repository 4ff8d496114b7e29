"""Why there is no form: which demands the pool cannot meet, alone or together."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trainer.core.measurement.programme import Row, solve
from trainer.core.measurement.requirement import Requirement
from trainer.core.measurement.response_model import Floats


@dataclass(frozen=True, slots=True)
class Limits:
    """All limits on a form of `items` from `size` families."""

    requirements: tuple[Requirement, ...]
    enemies: tuple[tuple[str, Row], ...]
    size: int
    items: int

    def rows(self, forms: int = 1) -> list[Row]:
        """The limits on that many forms together, each family once."""
        return [
            row.times(forms)
            for row in (*(one.row for one in self.requirements), *(row for _, row in self.enemies))
        ]

    def named(self, forms: int) -> list[Requirement]:
        """The same with names, enemies after the rest."""
        enemies = [Requirement(name, row) for name, row in self.enemies]
        return [
            Requirement(one.name, one.row.times(forms), one.unit)
            for one in (*self.requirements, *enemies)
        ]


def shortfalls(limits: Limits, forms: int) -> tuple[str, ...]:
    """What the pool cannot meet, in words, for so many forms together.

    Demands that fail by themselves (enemies kept apart) are named with what there is: 'removal
    safety: 10 wanted, 7 there'. Where each holds alone, a smallest set that fails together is
    found by leaving out one after the other (deletion filter: Chinneck 2008, Feasibility and
    Infeasibility in Optimization, ch. 6), and each of it is named with how far the others let it
    go.
    """
    named = limits.named(forms)
    demands, enemies = named[: len(limits.requirements)], named[len(limits.requirements) :]
    apart = [one.row for one in enemies]
    suffix = f" for {forms} forms" if forms > 1 else ""
    alone = [_short(one, apart, limits, suffix) for one in demands]
    found = tuple(said for said in alone if said)
    if found:
        return found
    clash = _clash(named, limits.size)
    if not clash:
        return (f"{forms} forms together: each family is wanted in too many of them",)
    return tuple(
        f"{_how_far(one, [other for other in clash if other is not one], limits)}{suffix}"
        for one in clash
    )


def _short(one: Requirement, apart: Sequence[Row], limits: Limits, suffix: str) -> str:
    """In words how far a demand falls short by itself; '' if it can be met."""
    if one.row.least <= 0:
        return ""
    reached = _reach(one.row, apart, limits.size)
    if reached is not None and reached >= one.row.least:
        return ""
    return f"{one.name}: {_amount(one.row.least)} wanted{suffix}, {_amount(reached or 0)} there"


def _clash(named: Sequence[Requirement], size: int) -> list[Requirement]:
    """A smallest set of limits that cannot all be kept; empty if all can."""
    kept = list(named)
    if _possible(kept, size):
        return []
    for one in named:
        fewer = [other for other in kept if other is not one]
        if not _possible(fewer, size):
            kept = fewer
    return kept


def _how_far(one: Requirement, others: Sequence[Requirement], limits: Limits) -> str:
    """A limit of a clash, and how near to it the others let a form come."""
    rows = [other.row for other in others]
    unit = f" {one.unit}" if one.unit else ""
    if one.row.most < np.inf and one.row.least < one.row.most:
        least = _reach(one.row, rows, limits.size, sign=-1)
        said = f"at most {_amount(one.row.most)}{unit} allowed"
        return f"{one.name}: {said}, at least {_amount(least or 0)}{unit} with the rest"
    most = _reach(one.row, rows, limits.size)
    wanted = f"{_amount(one.row.least)}{unit} wanted"
    return f"{one.name}: {wanted}, {_amount(most or 0)}{unit} with the rest"


def _reach(row: Row, others: Sequence[Row], size: int, sign: int = 1) -> float | None:
    """The most (sign 1) or least (-1) that a form can have of a row when the others hold."""
    worth: Floats = np.zeros(size)
    worth[row.columns] = sign * row.amounts
    found = solve(worth, others)
    return None if found is None else sign * found.worth


def _possible(demands: Sequence[Requirement], size: int) -> bool:
    return solve(np.zeros(size), [one.row for one in demands]) is not None


def _amount(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")
