"""How answers fall, question by question: who gets it right, which wrong ideas draw whom."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isnan, sqrt

import numpy as np

from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.analysis.differences import ONE_SIDED
from trainer.core.measurement.analysis.exposure import exposure
from trainer.core.measurement.analysis.options import OptionUse, use_beside
from trainer.core.measurement.analysis.siblings import expected_right, variation
from trainer.core.measurement.response_model import Floats
from trainer.core.scenarios.family import Family, families
from trainer.store import answers, competencies
from trainer.store.competencies import WHOLE
from trainer.store.exposure import of_organisation
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.roles import REVIEWERS

MOST_ANSWERS, LAST_FORMS = 4000, 50
ENOUGH = 20
"""Answers below which nothing is said of a question."""
UNEVEN_P, UNEVEN_SD = 0.01, 0.3
"""Versions differ: hardly chance, and by enough to matter [logits]."""
WEAK_LINK = 0.1
"""A correlation with ability nearer 0 than this says nothing, nor one that chance would bring more
than once in twenty times: its standard error is about 1 / sqrt(answers)."""
MOST_IDEAS = 3


@dataclass(frozen=True, slots=True)
class Idea:
    """A wrong idea that answers showed: share of those who know least, some, most who showed it.

    `draws_able`: people who know more show it more often.
    """

    belief: str
    times: int
    by_third: tuple[float, ...]
    draws_able: bool


@dataclass(frozen=True, slots=True)
class Row:
    """One kind of question. Shares 0..1; `by_third` is the share right, those who know least first.

    `link`: 'right' if those who know more are right more often, 'none' or 'reverse'. `uneven`:
    some versions of it are harder than others. `shown`: share of the last forms that had it, None
    while there are no forms.
    """

    title: str
    topic: str
    answers: int
    right: float
    by_third: tuple[float, ...]
    link: str
    uneven: bool
    ideas: tuple[Idea, ...]
    shown: float | None

    @property
    def doubtful(self) -> bool:
        """Whether somebody should read it again."""
        return self.link == "reverse" or self.uneven or any(one.draws_able for one in self.ideas)


@dataclass(frozen=True, slots=True)
class Fallen:
    """A method's questions, doubtful ones first. `few`: kinds with too few answers to say.

    `forms`: how many forms were looked at; `overlap`: share of questions two of them have in
    common, None where that cannot be said.
    """

    rows: tuple[Row, ...]
    few: int
    answers: int
    forms: int
    overlap: float | None


def see(unit: Unit, bank: Bank, method: str) -> Fallen:
    """How the organisation's latest answers on a method fall. Raises Forbidden, NotFound."""
    unit.viewer.must_be(*REVIEWERS)
    if method not in bank.methods:
        raise NotFound
    there = {one.id: one for one in families(bank, method=method)}
    found = [row for row in answers.of_method(unit, method, MOST_ANSWERS) if row.family in there]
    people = sorted({row.person_id for row in found})
    known = {
        row.person_id: float(row.mean)
        for row in competencies.of_people(unit, people)
        if row.method == method and row.topic == WHOLE
    }
    by_family: dict[str, list[Found]] = {}
    for row in found:
        if row.person_id in known:
            by_family.setdefault(row.family, []).append(row)
    rates, forms, overlap = _shown(unit, method, tuple(there))
    rows = [
        _row(bank, there[name], given, known, rates.get(name) if forms else None)
        for name, given in by_family.items()
        if len(given) >= ENOUGH
    ]
    rows.sort(key=lambda one: (not one.doubtful, one.right))
    return Fallen(tuple(rows), len(there) - len(rows), len(found), forms, overlap)


def _shown(
    unit: Unit, method: str, there: Sequence[str]
) -> tuple[Mapping[str, float], int, float | None]:
    forms, uses = of_organisation(unit, method, LAST_FORMS)
    held = np.array([uses.get(name, 0) for name in there], dtype=float)
    if not forms or not held.any():
        return {}, forms, None
    found = exposure(held, forms)
    rates = dict(zip(there, found.rates.tolist(), strict=True))
    return rates, forms, None if isnan(found.overlap) else found.overlap


def _row(
    bank: Bank,
    family: Family,
    given: Sequence[Found],
    known: Mapping[str, float],
    shown: float | None,
) -> Row:
    ability = np.array([known[row.person_id] for row in given])
    right = np.array([row.right for row in given], dtype=float)
    names = sorted({name for row in given for name in row.misconceptions})
    drawn = [[float(name in row.misconceptions) for name in names] for row in given]
    first, *others = use_beside(np.column_stack([right, np.array(drawn)]), 0, ability)
    ideas = [
        _idea(bank, name, use, len(given))
        for name, use in zip(names, others, strict=True)
        if name in bank.misconceptions
    ]
    return Row(
        title=family.recipe.title,
        topic=family.topic,
        answers=len(given),
        right=first.share,
        by_third=first.by_band,
        link=_link(first.r_rest, len(given)),
        uneven=_uneven(given, ability, right),
        ideas=tuple(sorted(ideas, key=lambda one: -one.times)[:MOST_IDEAS]),
        shown=shown,
    )


def _idea(bank: Bank, name: str, use: OptionUse, answers: int) -> Idea:
    draws = use.count >= ENOUGH / 2 and use.r_rest > _by_chance(answers)
    return Idea(bank.misconceptions[name].belief, use.count, use.by_band, draws)


def _link(r: float, answers: int) -> str:
    if r < -_by_chance(answers):
        return "reverse"
    return "right" if r >= WEAK_LINK else "none"


def _by_chance(answers: int) -> float:
    return max(WEAK_LINK, ONE_SIDED / sqrt(answers))


def _uneven(given: Sequence[Found], ability: Floats, right: Floats) -> bool:
    """Whether versions with different content differ in difficulty beyond chance."""
    known = np.array([bool(row.content) for row in given])
    if known.sum() < ENOUGH:
        return False
    content = [row.content for row in given if row.content]
    try:
        found = variation(right[known], expected_right(ability[known], right[known], 0.0), content)
    except ValueError:
        return False
    return found.p_value < UNEVEN_P and found.sd > UNEVEN_SD
