"""Does each question treat two groups alike? Only groups that the site knows without asking."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from trainer.core.items.codec import from_kept
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.analysis.matched import (
    LEAST_PEOPLE,
    Given,
    Matched,
    matched_differences,
)
from trainer.core.measurement.analysis.power import share_beside, shown_as_large
from trainer.core.measurement.priors import JUDGED, Difficulty, before_data, guessed
from trainer.core.measurement.response_model import Floats
from trainer.core.scenarios.family import Family, families
from trainer.store import compared, people
from trainer.store.unit import Unit
from trainer.use_cases.know_difficulty import in_use
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.roles import REVIEWERS
from trainer.use_cases.typical_items import typical_items

LAST_SITTINGS = 250
"""Questions of sittings are marked anew here, which takes time."""
OTHER_PLACES = 2
"""One other organisation alone would be looked at, not compared with."""
SPELLING, EASIER, ELSEWHERE = "spelling", "easier", "elsewhere"
OTHERS, PLACES, YOURS = "the others here", "other places", "your people"
ON = "those on British spelling", "those on American spelling"
NINETY_FIVE, WIDEST = 1.96, 4.0
"""Interval of a difference [SDs]; the end of its drawing [delta]."""
SLIGHT, CLEAR = 1.0, 1.5
"""Where ETS's classes B and C begin [delta], to be drawn."""
SEVEN_OF_TEN = 0.7
"""A usual share right, from which to tell how large a difference must be to be seen."""
ORDER = ("C", "B", "A", "")


@dataclass(frozen=True, slots=True)
class Choice:
    """Two groups that may be compared. `one`, `other`: what they are called, to follow 'of'.

    `enough`: at least 20 people are in each; of fewer nothing is shown.
    """

    id: str
    title: str
    one: str
    other: str
    enough: bool


@dataclass(frozen=True, slots=True)
class Row:
    """One kind of question. `size`: 'A' no difference found, 'B' slightly, 'C' clearly unlike, ''
    cannot say.

    `low`, `mid`, `high`: the difference on its drawing, 0..1, 0.5 no difference, above it harder
    for `other`. `right_one`, `right_other`: share right among people who know equally much.
    """

    title: str
    topic: str
    size: str
    low: float
    mid: float
    high: float
    right_one: float
    right_other: float
    people: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Compared:
    """Questions that treat the groups most unlike come first. `few`: kinds with too few answers.

    `chosen` is None where there are no two groups of 20; then nothing was looked at. `seen`: where
    seven of ten of one group are right, so many or fewer of ten of the other, who know as much,
    must be right for a usual kind of question to come out as clearly unlike four times in five;
    None where no kind was compared.
    """

    choices: tuple[Choice, ...]
    chosen: Choice | None
    rows: tuple[Row, ...]
    few: int
    answers: int
    seen: int | None = None


class Answer(NamedTuple):
    """The first answer of somebody to a family; there may be a hundred thousand."""

    person: str
    here: bool
    family: str
    level: str
    right: bool


def see(unit: Unit, bank: Bank, method: str, asked: str) -> Compared:
    """How a method's questions treat two groups of the organisation's people.

    `asked`: the id of a choice; another or none means the first that has enough people.
    Raises Forbidden, NotFound for no method.
    """
    unit.viewer.must_be(*REVIEWERS)
    if method not in bank.methods:
        raise NotFound
    sides = _sides(unit, method)
    choices = tuple(choice for choice, _ in sides)
    able = {choice.id: (choice, belongs) for choice, belongs in sides if choice.enough}
    if not able:
        return Compared(choices, None, (), 0, 0)
    chosen, belongs = able.get(asked) or next(iter(able.values()))
    there = {one.id: one for one in families(bank, method=method)}
    answers = _first(unit, method, there, chosen.id == ELSEWHERE)
    found = _matched(unit, bank, method, answers, belongs)
    if found is None:
        return Compared(choices, chosen, (), len(there), len(answers))
    names, matched = found
    said = matched.said.tolist()
    rows = _rows([there[name] for name in names], matched)
    kept = sorted((row for row, enough in zip(rows, said, strict=True) if enough), key=_unlike)
    few = len(there) - len(kept)
    return Compared(choices, chosen, tuple(kept), few, len(answers), _seen(matched))


Belongs = Callable[[Answer], bool]


def _sides(unit: Unit, method: str) -> list[tuple[Choice, Belongs]]:
    """Every comparison, and who stands on its other side."""
    begun = {row.person_id: row.spelling for row in compared.ours(unit, method)}
    american = {person for person, spelling in begun.items() if spelling == "american"}
    easier = set(compared.made_easier(unit))
    away = compared.elsewhere(unit, method)
    enough_away = sum(away) if len(away) >= OTHER_PLACES else 0
    members: dict[str, set[str]] = {}
    for row in compared.in_groups(unit):
        members.setdefault(row.group_id, set()).add(row.person_id)
    sides = [
        _side(SPELLING, "Spelling", *ON, american, begun),
        _side(EASIER, "More time or larger type", OTHERS, "those granted it", easier, begun),
    ]
    sides += [
        _side(one.id, one.name, OTHERS, one.name, members.get(one.id, set()), begun)
        for one in people.groups(unit)
    ]
    both = min(len(begun), enough_away) >= LEAST_PEOPLE
    here = Choice(ELSEWHERE, "Other places", PLACES, YOURS, both)
    return [*sides, (here, lambda answer: answer.here)]


def _side(
    what: str, title: str, one: str, other: str, inside: set[str], begun: Mapping[str, str]
) -> tuple[Choice, Belongs]:
    count = len(inside & begun.keys())
    enough = min(count, len(begun) - count) >= LEAST_PEOPLE
    return Choice(what, title, one, other, enough), lambda answer: answer.person in inside


def _first(unit: Unit, method: str, there: Mapping[str, Family], everywhere: bool) -> list[Answer]:
    """The first answer of each person to each family, assessments before practice.

    Later ones also show what the first one taught.
    """
    found: dict[tuple[str, str], Answer] = {}
    here = unit.viewer.organisation_id
    for row in compared.sat(unit, method, everywhere, LAST_SITTINGS):
        pair = (row.person_id, row.family)
        if row.family in there and pair not in found:
            level, right = _marked(row)
            ours = row.organisation_id == here
            found[pair] = Answer(row.person_id, ours, row.family, level, right)
    for person, place, family, level, right in compared.practised(unit, method, everywhere):
        if family in there and (person, family) not in found:
            found[person, family] = Answer(person, place == here, family, level, right)
    return list(found.values())


def _marked(row: Any) -> tuple[str, bool]:
    item = from_kept(row.kept)
    right = row.answer is not None and type_of(item).mark(item, row.answer).right
    return item.heading.level, right


def _matched(
    unit: Unit, bank: Bank, method: str, answers: Sequence[Answer], belongs: Belongs
) -> tuple[list[str], Matched] | None:
    """The families and what was found of each; None where one side answered nothing."""
    names = sorted({one.family for one in answers})
    seats = {name: seat for seat, name in enumerate(sorted({one.person for one in answers}))}
    places = {name: place for place, name in enumerate(names)}
    person = np.array([seats[one.person] for one in answers], np.intp)
    focal = np.bincount(person, [belongs(one) for one in answers]) > 0
    if focal.all() or not focal.any():
        return None
    shown = sorted({(one.family, one.level) for one in answers})
    read = [(one.slope, one.b, one.floor) for one in _difficulties(unit, bank, method, shown)]
    known = dict(zip(shown, read, strict=True))
    given = Given(
        person,
        np.array([places[one.family] for one in answers], np.intp),
        np.array([one.right for one in answers]),
        *np.array([known[one.family, one.level] for one in answers]).T,
    )
    return names, matched_differences(given, focal)


def _difficulties(
    unit: Unit, bank: Bank, method: str, shown: Sequence[tuple[str, str]]
) -> list[Difficulty]:
    """What a typical question of each family at each level is read by."""
    found = in_use(unit, [family for family, _ in shown])
    typical = typical_items(bank, method)
    out = []
    for family, level in shown:
        if found is not None and family in found.families:
            out.append(found.at_level(family, level))
            continue
        item = typical.get(family)
        features = {} if item is None else item.features
        floor = 0.0 if item is None else guessed(type_of(item).chance(item))
        out.append(before_data(level, features, floor, found.outlook if found else JUDGED))
    return out


def _rows(of: Sequence[Family], found: Matched) -> list[Row]:
    delta, error = found.difference.delta, found.difference.se_delta
    far = np.where(np.isfinite(delta + error), NINETY_FIVE * error, np.inf)
    at = np.clip(np.nan_to_num(delta, posinf=WIDEST, neginf=-WIDEST), -WIDEST, WIDEST)
    low, mid, high = (_place(end).tolist() for end in (at + far, at, at - far))
    classes, right, people = (
        found.classes(),
        found.right.tolist(),
        found.people.astype(int).tolist(),
    )
    return [
        Row(
            title=family.recipe.title,
            topic=family.topic,
            size=classes[n],
            low=low[n],
            mid=mid[n],
            high=high[n],
            right_one=right[n][0],
            right_other=right[n][1],
            people=(people[n][0], people[n][1]),
        )
        for n, family in enumerate(of)
    ]


def _seen(found: Matched) -> int | None:
    error = found.difference.se_delta[found.said]
    error = error[np.isfinite(error)]
    if not len(error):
        return None
    return int(10 * share_beside(SEVEN_OF_TEN, shown_as_large(float(np.median(error)))))


def _place(delta: Floats) -> Floats:
    """Where a difference stands on its drawing: delta below 0 is harder for the other group."""
    return np.asarray(0.5 - np.clip(delta, -WIDEST, WIDEST) / (2 * WIDEST))


def marks() -> list[float]:
    """Where on the drawing differences begin to be clear and slight, on both sides of none."""
    return list(_place(np.array([CLEAR, SLIGHT, -SLIGHT, -CLEAR])).tolist())


def _unlike(row: Row) -> tuple[int, float]:
    return ORDER.index(row.size), -abs(row.mid - 0.5)
