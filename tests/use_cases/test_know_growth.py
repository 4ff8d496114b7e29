"""Ability in practice follows learning over time; a sitting's answers teach nothing."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.cohort.learners import Learner
from tests.cohort.path import Walk, practise_once
from tests.support.people import NOW, a_person
from trainer.core.items.registry import type_of
from trainer.core.measurement.calibration.recalibrate import recalibrate as calibrated
from trainer.core.measurement.growth import JUDGED, Growth, Practised, followed
from trainer.core.scenarios.generate import generate
from trainer.store.competencies import WHOLE
from trainer.use_cases import know_competency, know_growth, recalibrate
from trainer.use_cases.know_competency import known_to
from trainer.use_cases.know_difficulty import difficulty_of
from trainer.use_cases.know_growth import InPractice

METHOD = "tape_in"
WHEN = [NOW + timedelta(days=days, minutes=4 * n) for days in (0, 2, 9) for n in range(3)]
FOUND = InPractice(Growth(0.04, 0.05, 0.1), Growth(0.07, 0.1, 0.2))


@pytest.fixture
def walk(sqlite_work, bank):
    return Walk(sqlite_work, bank, a_person(sqlite_work), Learner("grows", 1.0))


def practised(walk, monkeypatch):
    """What was answered, in order, as each answer was read: item, right, difficulty."""
    read, keep = [], know_competency.keep_answers

    def noted(unit, method, answers, *rest):
        read.extend((item, mark.right, family) for item, mark, family in answers)
        keep(unit, method, answers, *rest)

    monkeypatch.setattr("trainer.use_cases.practise.keep_answers", noted)
    for at in WHEN:
        practise_once(walk, METHOD, at)
    return read


def steps(read, times):
    before = [times[0], *times]
    return [
        Practised(right, family, (at - then) / timedelta(days=1))
        for (_, right, family), at, then in zip(read, times, before, strict=False)
    ]


def known(walk):
    with walk.work.reading(walk.someone.viewer) as unit:
        return known_to(unit, walk.someone.id)


def test_practice_follows_the_growth_of_the_core_step_by_step(walk, monkeypatch):
    read = practised(walk, monkeypatch)
    found = known(walk)
    wanted = followed(steps(read, WHEN), JUDGED)
    assert (found[METHOD, WHOLE].ability.mean, found[METHOD, WHOLE].ability.sd) == pytest.approx(
        (wanted.mean, wanted.sd)
    )
    topic = read[0][0].heading.topic
    mine = [n for n, one in enumerate(read) if one[0].heading.topic == topic]
    there = followed(steps([read[n] for n in mine], [WHEN[n] for n in mine]), JUDGED)
    assert found[METHOD, topic].ability.mean == pytest.approx(there.mean)


def test_an_adopted_calibration_brings_its_own_growth(walk, bank, monkeypatch):
    adopted(walk, bank, FOUND)
    read = practised(walk, monkeypatch)
    wanted = followed(steps(read, WHEN), FOUND.whole)
    assert known(walk)[METHOD, WHOLE].ability.mean == pytest.approx(wanted.mean)


def adopted(walk, bank, growth):
    """A calibration of one answer is put into use, for its growth."""
    alone = calibrated([an_answer(walk)], NOW.date())
    with walk.work.writing() as unit:
        made = recalibrate.keep(unit, bank, replace(alone, converged=True), NOW, growth)
        recalibrate.adopt(unit, made.id, NOW)
        assert know_growth.in_use(unit) == growth


def an_answer(walk):
    practise_once(Walk(walk.work, walk.bank, a_person(walk.work), walk.learner), METHOD, NOW)
    with walk.work.reading() as unit:
        return recalibrate.gather(unit)[-1]


def test_in_a_sitting_no_answer_teaches(walk, bank):
    adopted(walk, bank, FOUND)
    item = generate(bank, f"overdue.{METHOD}", 1)
    mark, family = type_of(item).mark(item, item.key), difficulty_of(item)
    for at in (NOW, NOW + timedelta(days=4)):
        with walk.work.writing(walk.someone.viewer) as unit:
            know_competency.keep_answers(unit, METHOD, [(item, mark, family)] * 3, at)
    still = replace(FOUND.whole, gain=0.0, sd=0.0)
    days = (0.0, 0.0, 0.0, 4.0, 0.0, 0.0)
    wanted = followed([Practised(mark.right, family, rest) for rest in days], still)
    found = known(walk)[METHOD, WHOLE].ability
    assert (found.mean, found.sd) == pytest.approx((wanted.mean, wanted.sd))


def test_growth_is_judged_while_few_have_practised(walk):
    practise_once(walk, METHOD, NOW)
    with walk.work.reading() as unit:
        gathered = know_growth.gather(unit)
        answers = recalibrate.gather(unit)
    assert len(gathered) == 1
    assert know_growth.reckon(gathered, calibrated(answers, NOW.date())) == InPractice()
