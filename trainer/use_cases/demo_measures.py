"""What the demo academy found out: how hard questions are, where the cut lies, what is doubted."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import datetime, timedelta

import numpy as np

from trainer.core.draw import Draw
from trainer.core.items.codec import from_kept
from trainer.core.items.registry import type_of
from trainer.core.measurement.response_model import probability
from trainer.store import sittings, standards
from trainer.use_cases import contest_question, recalibrate, set_standard
from trainer.use_cases.demo_history import Story
from trainer.use_cases.know_standard import standard_of
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.work import Viewer

ADOPTED, UNDER_WAY = "tape_in", "fusion_bond"
SLIP, TEN = 1, 10
DOUBT = (
    "I chose the other answer because our academy's card says to check again at the wash basin. "
    "Is that not right too?"
)


def measure(story: Story, raters: Sequence[Viewer], administrator: Viewer) -> None:
    """Calibrate and adopt; rate two methods, of which one panel's cut is adopted."""
    at = story.now - timedelta(days=9)
    with suppress(InputProblem):
        calibrate(story, at)
    panel_id = _rated(story, ADOPTED, raters, at)
    with story.work.writing(raters[0]) as unit:
        set_standard.propose(unit, story.bank, panel_id, at)
    with story.work.writing(administrator) as unit:
        set_standard.adopt(unit, story.bank, panel_id, at + timedelta(days=2))
    _opened(story, UNDER_WAY, raters[:1], story.now - timedelta(days=1))


def calibrate(story: Story, at: datetime) -> None:
    """Calibrate, and adopt what came to rest. Raises InputProblem as `recalibrate` does.

    The histories differ from one demo to the next, and so does what they teach: a demo whose
    difficulties are all judged from features is as whole as any young site.
    """
    with story.work.reading() as unit:
        answers = recalibrate.gather(unit)
    found = recalibrate.reckon(answers, None, at.date())
    with story.work.writing() as unit:
        made = recalibrate.keep(unit, story.bank, found, at)
        if found.converged:
            recalibrate.adopt(unit, made.id, at + timedelta(days=1))


def doubt(story: Story, viewer: Viewer, method: str) -> None:
    """Somebody contests the first question that they got wrong."""
    with story.work.writing(viewer) as unit:
        sat = sittings.latest(unit, viewer.person_id, method)
        if sat is None:
            return
        for row in sittings.items(unit, sat.id):
            item = from_kept(row.kept)
            if row.answer is not None and not type_of(item).mark(item, row.answer).right:
                contest_question.contest(
                    unit, sat.id, row.position, DOUBT, story.now - timedelta(hours=20)
                )
                return


def _rated(story: Story, method: str, raters: Sequence[Viewer], at: datetime) -> str:
    panel_id = _opened(story, method, raters, at)
    with story.work.writing(raters[0]) as unit:
        set_standard.end_round(unit, panel_id, at)
    for rater in raters:
        _rate(story, panel_id, method, rater, 2, at)
    with story.work.writing(raters[0]) as unit:
        set_standard.end_round(unit, panel_id, at)
    return panel_id


def _opened(story: Story, method: str, raters: Sequence[Viewer], at: datetime) -> str:
    prepared = set_standard.prepare(story.bank, method)
    with story.work.writing(raters[0]) as unit:
        panel_id = set_standard.open_panel(unit, story.bank, prepared, at)
    for rater in raters:
        _rate(story, panel_id, method, rater, 1, at)
    return panel_id


def _rate(
    story: Story, panel_id: str, method: str, rater: Viewer, number: int, at: datetime
) -> None:
    with story.work.writing(rater) as unit:
        for position, chance in _chances(unit_items(story, panel_id, rater), story, method):
            draw = Draw("demo rating", rater.person_id, method, number, position)
            off = draw.between(-SLIP, SLIP) if number == 1 else draw.between(0, SLIP)
            of_ten = max(1, min(TEN - 1, round(TEN * chance) + off))
            set_standard.rate(unit, panel_id, position, of_ten, at)


def unit_items(story: Story, panel_id: str, rater: Viewer) -> Sequence[standards.PanelItemRow]:
    """The questions of a panel."""
    with story.work.reading(rater) as unit:
        return standards.items(unit, panel_id)


def _chances(
    rows: Sequence[standards.PanelItemRow], story: Story, method: str
) -> Iterator[tuple[int, float]]:
    """Position and how likely somebody who is just good enough gets it right."""
    theta = np.array([standard_of(story.bank, method)])
    for row in rows:
        a, b, floor = (np.array([one]) for one in (row.a, row.b, row.floor))
        yield row.position, float(probability(theta, a, b, floor)[0, 0])
