"""How hard the questions proved to be, in plain words, for whoever trains and looks after them."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.response_model import probability
from trainer.core.scenarios.family import Family, families
from trainer.store import calibrations
from trainer.store.calibrations import CalibrationRow, FamilyDifficultyRow
from trainer.store.unit import Unit
from trainer.use_cases.draw_on_scale import Drawn, drawn
from trainer.use_cases.know_standard import ability_needed
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.roles import REVIEWERS

ODD = (0.7, 1.3)
"""Weighted mean square within which answers follow the model well enough to measure by.

Wright & Linacre 1994, Rasch Measurement Transactions 8(3): 0.7 to 1.3 for run-of-the-mill tests.
"""
FEW = 30
"""Answers below which nothing is said about fit."""
TEN = 10


@dataclass(frozen=True, slots=True)
class Row:
    """One kind of question.

    `of_ten`: how many of ten people who just meet the standard get it right. `odd`: the answers
    do not follow ability as they should.
    """

    title: str
    topic: str
    drawn: Drawn
    of_ten: int
    answers: int
    odd: bool


@dataclass(frozen=True, slots=True)
class InUse:
    """The calibration that questions go by, and those made after it that wait to be adopted."""

    since: datetime
    made_at: datetime
    people: int
    answers: int
    old: bool
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Waiting:
    """A calibration that is newer than the one in use, and came to rest."""

    id: str
    made_at: datetime
    answers: int


def see(unit: Unit, bank: Bank, method: str) -> InUse | None:
    """What the calibration in use says of a method's questions, hardest first; None without one.

    Raises Forbidden, NotFound for no method.
    """
    unit.viewer.must_be(*REVIEWERS)
    if method not in bank.methods:
        raise NotFound
    run = calibrations.in_use(unit)
    if run is None or run.adopted_at is None:
        return None
    there = {one.id: one for one in families(bank, method=method)}
    found = [row for row in calibrations.families_of(unit, run.id) if row.family in there]
    standard = ability_needed(unit, bank, method)
    rows = [_row(there[one.family], one, standard) for one in found]
    return InUse(
        run.adopted_at,
        run.made_at,
        run.people,
        run.responses,
        run.bank_version != bank.version,
        tuple(sorted(rows, key=lambda row: -row.drawn.mid)),
    )


def waiting(unit: Unit, count: int = 3) -> list[Waiting]:
    """The latest calibrations that were made after the one in use."""
    unit.viewer.must_be(*REVIEWERS)
    run = calibrations.in_use(unit)
    return [
        Waiting(one.id, one.made_at, one.responses)
        for one in calibrations.newest(unit, count)
        if _newer(one, run)
    ]


def _newer(one: CalibrationRow, run: CalibrationRow | None) -> bool:
    ready = one.adopted_at is None and one.summary["converged"]
    return ready and (run is None or one.made_at > run.made_at)


def _row(family: Family, found: FamilyDifficultyRow, standard: float) -> Row:
    a, b, floor = (np.array([one]) for one in (found.a, found.b, found.floor))
    right = float(probability(np.array([standard]), a, b, floor)[0, 0])
    return Row(
        family.recipe.title,
        family.topic,
        drawn(found.b, found.b_sd, standard),
        round(TEN * right),
        found.responses,
        found.responses >= FEW and _odd(found),
    )


def _odd(found: FamilyDifficultyRow) -> bool:
    least, most = ODD
    return not all(least <= one <= most for one in (found.infit, found.outfit))
