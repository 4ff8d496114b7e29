"""Standards as their pages show them: where each method is, one question, what came of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan
from typing import Any, Literal

import numpy as np

from trainer.core.items.codec import from_kept
from trainer.core.items.registry import type_of
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.decision import parameters
from trainer.core.measurement.standard_setting.equating import ability_cut, whole_cut
from trainer.core.measurement.standard_setting.impact import Step, impact
from trainer.store import people, standards
from trainer.store.standards import (
    PanelItemRow,
    PanelRow,
    StandardRow,
)
from trainer.store.statements import Found
from trainer.store.unit import Unit
from trainer.use_cases.know_competency import blueprint_of
from trainer.use_cases.know_standard import ABILITIES, questions_needed
from trainer.use_cases.question import Question, question_of
from trainer.use_cases.refusals import Forbidden, NotFound
from trainer.use_cases.roles import REVIEWERS
from trainer.use_cases.set_standard import ROUNDS
from trainer.use_cases.weigh_ratings import (
    LEAST_RATERS,
    MOST_SITTINGS,
    TEN,
    Weighed,
    difficulties,
    finished,
    sitters,
    weigh,
)

MOST_HISTORY = 20
TRIED = (-4, -3, -2, -1, 0, 1, 2, 3, 4)
"""Cuts tried around the panel's own, in questions of a form."""
Agreement = Literal["poor", "fair", "good", "very good", "unknown"]
LEVELS: tuple[tuple[float, Agreement], ...] = ((0.9, "very good"), (0.75, "good"), (0.5, "fair"))
"""Koo & Li 2016, Journal of Chiropractic Medicine 15 (there: excellent, good, moderate, poor)."""


@dataclass(frozen=True, slots=True)
class Line:
    """One method in the list. `needed` of `items`: the share in force as whole questions."""

    method: str
    items: int
    needed: int
    standard: StandardRow | None
    panel: PanelRow | None


@dataclass(frozen=True, slots=True)
class Rater:
    """Somebody who has begun to rate: how many questions, and whether it is the viewer."""

    name: str
    rated: int
    is_me: bool


@dataclass(frozen=True, slots=True)
class Panel:
    """A panel at work. `round` is 0 once the rounds are over; `mine` counts my ratings in it."""

    row: PanelRow
    round: int
    questions: int
    mine: int
    may_rate: bool
    raters: tuple[Rater, ...]
    enough: bool
    opener: str


@dataclass(frozen=True, slots=True)
class Asked:
    """One question to rate. `said`: my rating so far; `before`: mine of the first round.

    `others`: the others' first ratings, lowest first, without names. `answered` and `right`: how
    people did in practice. `by_guessing`: of ten who only guess, how many get it right.
    """

    panel: Panel
    position: int
    question: Question
    key_lines: tuple[str, ...]
    critical: bool
    said: int | None
    before: int | None
    others: tuple[int, ...]
    answered: int
    right: int
    by_guessing: float
    next: int | None


@dataclass(frozen=True, slots=True)
class JudgeLine:
    """One judge of a result, by letter: cut in questions of the form, distance from the rest."""

    letter: str
    is_me: bool
    cut: float
    stricter: float


@dataclass(frozen=True, slots=True)
class Result:
    """What a panel's last round comes to, in questions of a form of `items`.

    `cut` with `se`, and `needed`: about how many questions that is; `first_cut`: after the first
    round; `agreement` of the panel's mean.
    `steps`: cuts tried on the last sittings, `place` the panel's own among them.
    """

    panel: Panel
    weighed: Weighed
    items: int
    cut: float
    needed: int
    se: float
    first_cut: float | None
    agreement: Agreement
    judges: tuple[JudgeLine, ...]
    apart: tuple[tuple[int, str], ...]
    steps: tuple[Step, ...]
    place: int
    proposer: str


@dataclass(frozen=True, slots=True)
class Past:
    """An adopted standard in the history: `needed` of `items`, as whole questions."""

    row: StandardRow
    items: int
    needed: int
    proposer: str
    adopter: str
    raters: tuple[str, ...]


def overview(unit: Unit, bank: Bank) -> list[Line]:
    """Every method: what holds, and which panel is at work."""
    unit.viewer.must_be(*REVIEWERS)
    holding = {row.method: row for row in standards.all_in_force(unit)}
    at_work = {row.method: row for row in standards.all_under_way(unit)}
    out = []
    for method in bank.methods:
        blueprint, row = blueprint_of(bank, method), holding.get(method)
        share = blueprint.cut_share if row is None else row.share
        needed = questions_needed(blueprint.items, share, row is not None)
        out.append(Line(method, blueprint.items, needed, row, at_work.get(method)))
    return out


def see_panel(unit: Unit, panel_id: str) -> Panel:
    """A panel of the viewer's organisation. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*REVIEWERS)
    row = standards.panel(unit, panel_id)
    items, rows = standards.items(unit, panel_id), standards.ratings(unit, panel_id)
    return _panel(unit, row, len(items), rows)


def to_rate(unit: Unit) -> list[str]:
    """Methods whose panel still asks the viewer for ratings."""
    panels = [see_panel(unit, row.id) for row in standards.all_under_way(unit)]
    waiting = (one for one in panels if one.round and one.may_rate and one.mine < one.questions)
    return [one.row.method for one in waiting]


def to_adopt(unit: Unit) -> list[str]:
    """Methods with a proposed cut that the viewer, who did not propose it, may adopt."""
    unit.viewer.must_be("administrator")
    return [
        row.method
        for row in standards.all_under_way(unit)
        if row.proposed_by not in (None, unit.viewer.person_id)
    ]


def ask(unit: Unit, panel_id: str, position: int) -> Asked:
    """One question of the present round for the viewer. Raises NotFound, Forbidden."""
    unit.viewer.must_be("instructor")
    items, rows = standards.items(unit, panel_id), standards.ratings(unit, panel_id)
    panel = _panel(unit, standards.panel(unit, panel_id), len(items), rows)
    if not panel.round:
        raise NotFound
    if not panel.may_rate:
        raise Forbidden("The second round is for those who rated every question in the first.")
    row = standards.item(unit, panel_id, position)
    item, here = from_kept(row.kept), [one for one in rows if one.position == position]
    me, second = unit.viewer.person_id, panel.round > 1
    known = finished(rows, 1, len(items)) if second else ()
    open_ones = _open(rows, panel.round, me, len(items))
    return Asked(
        panel=panel,
        position=position,
        question=question_of(row.kept),
        key_lines=tuple(type_of(item).say_key(item)),
        critical=item.critical,
        said=_said(here, panel.round, me),
        before=_said(here, 1, me) if second else None,
        others=tuple(
            sorted(
                one.of_ten
                for one in here
                if one.round == 1 and one.rater_id in known and one.rater_id != me
            )
        ),
        answered=row.answered if second else 0,
        right=row.right if second else 0,
        by_guessing=row.floor * TEN,
        next=next((one for one in open_ones if one > position), next(iter(open_ones), None)),
    )


def first_open(unit: Unit, panel_id: str) -> int | None:
    """The first question that the viewer has not rated in the present round, None for none."""
    panel = standards.panel(unit, panel_id)
    number, rows = ROUNDS.get(panel.state, 0), standards.ratings(unit, panel_id)
    count = len(standards.items(unit, panel_id))
    return next(iter(_open(rows, number, unit.viewer.person_id, count)), None)


def result(unit: Unit, bank: Bank, panel_id: str) -> Result:
    """What a panel's two rounds come to. Raises NotFound before they are over, Forbidden."""
    unit.viewer.must_be(*REVIEWERS)
    row = standards.panel(unit, panel_id)
    if row.state in ROUNDS:
        raise NotFound
    items, rows = standards.items(unit, panel_id), standards.ratings(unit, panel_id)
    form = blueprint_of(bank, row.method).items
    sat = standards.recent_sittings(unit, row.method, MOST_SITTINGS)
    weighed = weigh(items, rows, 2, form, sitters(sat))
    if weighed is None:
        raise NotFound
    first = weigh(items, rows, 1, form)
    share = weighed.round.share
    return Result(
        panel=_panel(unit, row, len(items), rows),
        weighed=weighed,
        items=form,
        cut=share * form,
        needed=whole_cut(share * form),
        se=weighed.round.share_se * form,
        first_cut=None if first is None else first.round.share * form,
        agreement=agreement_in_words(weighed.round.panel),
        judges=_judges(unit, weighed, form),
        apart=tuple((place, items[place - 1].kept["stem"]) for place in weighed.apart),
        steps=_impact(sat, items, share, form),
        place=TRIED.index(0),
        proposer=people.person(unit, row.proposed_by).name if row.proposed_by else "",
    )


def history(unit: Unit, bank: Bank, method: str) -> list[Past]:
    """The standards that a method has had, latest first. Raises NotFound, Forbidden."""
    unit.viewer.must_be(*REVIEWERS)
    if method not in bank.methods:
        raise NotFound
    items = blueprint_of(bank, method).items
    return [
        Past(
            row,
            items,
            questions_needed(items, row.share, True),
            people.person(unit, row.proposed_by).name,
            people.person(unit, row.adopted_by).name,
            tuple(people.person(unit, rater).name for rater in row.summary["raters"]),
        )
        for row in standards.history(unit, method, MOST_HISTORY)
    ]


def agreement_in_words(value: float) -> Agreement:
    """How well a panel's mean can be relied on, from its intraclass correlation."""
    if isnan(value):
        return "unknown"
    return next((words for least, words in LEVELS if value >= least), "poor")


def _panel(unit: Unit, row: PanelRow, questions: int, rows: Sequence[Found]) -> Panel:
    number, me = ROUNDS.get(row.state, 0), unit.viewer.person_id
    shown = number or 2
    counts: dict[str, int] = {}
    for one in rows:
        if one.round == shown:
            counts[one.rater_id] = counts.get(one.rater_id, 0) + 1
    in_first = finished(rows, 1, questions)
    raters = tuple(
        Rater(people.person(unit, rater).name, count, rater == me)
        for rater, count in counts.items()
    )
    return Panel(
        row=row,
        round=number,
        questions=questions,
        mine=counts.get(me, 0),
        may_rate=unit.viewer.is_a("instructor") and (number == 1 or me in in_first),
        raters=tuple(sorted(raters, key=lambda one: one.name)),
        enough=sum(count == questions for count in counts.values()) >= LEAST_RATERS,
        opener=people.person(unit, row.opened_by).name,
    )


def _said(rows: Sequence[Found], number: int, rater: str) -> int | None:
    return next((one.of_ten for one in rows if one.round == number and one.rater_id == rater), None)


def _open(rows: Sequence[Found], number: int, rater: str, count: int) -> list[int]:
    rated = {one.position for one in rows if one.round == number and one.rater_id == rater}
    return [place for place in range(1, count + 1) if place not in rated]


def _judges(unit: Unit, weighed: Weighed, form: int) -> tuple[JudgeLine, ...]:
    """By letter, most lenient first, so that the order says nothing of who it is."""
    questions = len(weighed.round.item_means)
    order = np.argsort(weighed.round.judge_cuts, kind="stable").tolist()
    return tuple(
        JudgeLine(
            letter=chr(ord("A") + place),
            is_me=weighed.raters[n] == unit.viewer.person_id,
            cut=float(weighed.round.judge_cuts[n]) / questions * form,
            stricter=weighed.judges[n].severity * form,
        )
        for place, n in enumerate(order)
    )


def _impact(
    rows: Sequence[Found], items: Sequence[PanelItemRow], share: float, form: int
) -> tuple[Step, ...]:
    """Cuts around the panel's own tried on the last sittings, each equated to its own form."""
    shares = [share + step / form for step in TRIED]
    known = [_ability(items, one) for one in shares]
    needed = np.array(
        [[_needed(row, one, at) for one, at in zip(shares, known, strict=True)] for row in rows]
    ).reshape(len(rows), len(shares))
    scores = np.array([row.score for row in rows], dtype=float)
    return tuple(impact(scores, needed, [whole_cut(one * form) for one in shares]))


def _ability(items: Sequence[PanelItemRow], share: float) -> float | None:
    a, b, floor = parameters(difficulties(items))
    try:
        return ability_cut(share * len(items), 0.0, a, b, floor).ability
    except ValueError:
        return None


def _needed(row: Any, share: float, ability: float | None) -> int:
    """The raw score a sitting's form needs; by share where its expected scores are not known."""
    expected = row.outcome.get("expected")
    if expected is None or ability is None:
        return whole_cut(share * int(row.most))
    return whole_cut(float(np.interp(ability, ABILITIES, expected)))
