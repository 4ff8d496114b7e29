"""Practice of many people put straight where it is kept; `path` walks the pages, for a few."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from tests.cohort.learners import Growing
from tests.cohort.measures import Scale, scale_of
from tests.cohort.truth import Truth, normal
from tests.support.people import NOW, a_person, an_organisation
from tests.support.stored_answers import an_answer, keep_all
from trainer.core.draw import Draw
from trainer.core.items.codec import as_kept
from trainer.core.items.item import Item
from trainer.core.knowledge.bank import Bank
from trainer.core.measurement.growth import Growth, Practised, followed
from trainer.core.measurement.priors import Difficulty
from trainer.use_cases import know_growth, recalibrate
from trainer.use_cases.know_difficulty import difficulty_of, in_use, to_keep
from trainer.use_cases.typical_items import typical_items
from trainer.use_cases.work import Work

NINETY = 1.645
"""SDs within which a normal posterior holds 90 %."""
REST = 3
"""Days between two rows of answers."""
AT_ONCE = 8
"""Answers in a row."""


@dataclass(frozen=True)
class Answered:
    """One answer of somebody: what was asked, whether it was right, when."""

    item: Item
    right: bool
    at: datetime


def practise(learner: Growing, items: Sequence[Item], count: int) -> list[Answered]:
    """Somebody answers `count` scenarios by lot, a few in a row, and learns from each."""
    draw, out = Draw("practises", learner.name), []
    order = draw.shuffled(items)
    for number in range(count):
        item = order[number % len(order)]
        at = NOW + timedelta(days=REST * (number // AT_ONCE), minutes=3 * (number % AT_ONCE))
        learner.pass_time(at)
        right = draw.chance(learner.chance(item, at))
        learner.learn(item, right, at)
        out.append(Answered(item, right, at))
    return out


def people_of(world: str, kind: str, count: int, moves: Growth) -> list[Growing]:
    """So many people of N(0, 1) who grow as planted, in a world of that name."""
    truth = Truth(world)
    names = [f"{world} {kind} {number}" for number in range(count)]
    return [Growing(one, normal(Draw(one)), truth, moves=moves) for one in names]


def keep_practice(work: Work, bank: Bank, method: str, learners: Sequence[Growing], count: int):
    """Everybody's practice is kept as the site keeps it."""
    place, items = an_organisation(work), list(typical_items(bank, method).values())
    kept = {item.heading.id: as_kept(item) for item in items}
    answers = []
    for learner in learners:
        person = a_person(work, organisation=place).id
        for one in practise(learner, items, count):
            heading = one.item.heading
            family = (heading.family, method, heading.topic)
            answers.append(an_answer(person, place, family, one.right, kept[heading.id], one.at))
    with work.writing() as unit:
        keep_all(unit, answers)


def calibrate(work: Work, bank: Bank, now: datetime) -> know_growth.InPractice:
    """Families and growth are found from all that is kept, and put into use, as the job does it."""
    with work.reading() as unit:
        answers, before = recalibrate.gather(unit), recalibrate.present(unit)
        steps = know_growth.gather(unit)
    found = recalibrate.reckon(answers, before, now.date())
    growth = know_growth.reckon(steps, found)
    with work.writing() as unit:
        made = recalibrate.keep(unit, bank, found, now, growth)
        recalibrate.adopt(unit, made.id, now)
        return know_growth.in_use(unit)


def met_by(work: Work, bank: Bank, method: str) -> dict[str, Difficulty]:
    """Family -> what its question is read by, from the calibration in use."""
    items = list(typical_items(bank, method).values())
    families = [item.heading.family for item in items]
    with work.reading() as unit:
        kept = to_keep(items, in_use(unit, families))
    return {
        family: difficulty_of(item, one)
        for family, item, one in zip(families, items, kept, strict=True)
    }


def site_scale(work: Work, bank: Bank, method: str, truth: Truth) -> Scale:
    """Where the scale of the calibration in use lies."""
    met = met_by(work, bank, method)
    items = typical_items(bank, method)
    return scale_of([(met[family], truth.of(item)) for family, item in items.items()])


def away(work: Work, bank: Bank, method: str, learners: Sequence[Growing], count: int):
    """How far what practice knows of each lies from their true ability, in its own SDs: (people,).

    Each answer is read as `know_competency.keep_answers` reads it: by what was kept with its item
    from the calibration in use, and by the growth found with it. True abilities are told on the
    scale of the site.
    """
    items, met = list(typical_items(bank, method).values()), met_by(work, bank, method)
    site = site_scale(work, bank, method, learners[0].truth)
    with work.reading() as unit:
        growth = know_growth.in_use(unit).whole
    out = []
    for learner in learners:
        answers = practise(learner, items, count)
        days = np.diff([one.at for one in answers], prepend=answers[0].at) / timedelta(days=1)
        known = followed(
            [
                Practised(one.right, met[one.item.heading.family], float(rest))
                for one, rest in zip(answers, days, strict=True)
            ],
            growth,
        )
        out.append((known.mean - site.told(learner.theta)) / known.sd)
    return np.array(out)
