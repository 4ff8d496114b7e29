"""A person reviews a sitting: set aside by somebody who took no part, never scored by hand."""

from datetime import timedelta

import pytest

from tests.support.admitted import begun
from tests.support.people import NOW, a_person
from tests.support.plain_bank import METHOD, plain_bank
from tests.support.practised import a_sitting
from trainer.store import events, records, sittings
from trainer.use_cases import set_aside_sitting, sit_assessment
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

WHY = "The fire alarm rang after ten minutes, and nobody could go on."


@pytest.fixture
def learner(work):
    return a_person(work)


@pytest.fixture
def sitting_id(work, learner):
    with work.writing() as unit:
        row = a_sitting(learner, METHOD, False)
        unit.session.add(row)
        unit.session.flush()
        return row.id


@pytest.fixture
def chief(work, learner):
    return a_person(work, "administrator", organisation=learner.organisation)


def set_aside(work, someone, sitting_id, why=WHY):
    with work.writing(someone.viewer) as unit:
        set_aside_sitting.set_aside(unit, sitting_id, why, NOW)


def test_it_counts_for_nothing_and_no_wait_runs(work, learner, chief, sitting_id):
    soon = NOW + timedelta(hours=1)
    with work.reading(learner.viewer) as unit:
        last = sittings.latest(unit, learner.id, METHOD)
        assert sit_assessment.again_from(last, 7, soon)
    with pytest.raises(InputProblem, match="reason"):
        set_aside(work, chief, sitting_id, "no")
    set_aside(work, chief, sitting_id)
    with pytest.raises(InputProblem, match="already"):
        set_aside(work, chief, sitting_id)
    with work.reading(learner.viewer) as unit:
        last = sittings.latest(unit, learner.id, METHOD)
        assert (last.counts, last.outcome["set_aside"]) == (False, WHY)
        assert sit_assessment.again_from(last, 7, soon) is None
        assert events.last(unit).kind == "sitting.set_aside"
    assert begun(work, plain_bank(), learner, METHOD, now=soon, days=7)


def test_a_pass_that_is_set_aside_earns_nothing(work, learner, chief):
    with work.writing() as unit:
        row = a_sitting(learner, METHOD, True)
        unit.session.add(row)
    set_aside(work, chief, row.id)
    with work.reading(learner.viewer) as unit:
        assert sittings.passed(unit, learner.id, METHOD) is None


def test_not_where_a_record_rests_on_it(work, chief, sitting_id, monkeypatch):
    monkeypatch.setattr(records, "resting_on", lambda _unit, basis: basis.endswith(sitting_id))
    with pytest.raises(InputProblem, match="record rests on it"):
        set_aside(work, chief, sitting_id)


def test_not_by_who_opened_it_sat_it_or_belongs_elsewhere(work, learner, sitting_id):
    boss = a_person(work, "instructor", organisation=learner.organisation)
    with work.writing(learner.viewer) as unit:
        sittings.own(unit, sitting_id, to_change=True).opened_by = boss.id
    with pytest.raises(Forbidden, match="neither"):
        set_aside(work, boss, sitting_id)
    with pytest.raises(Forbidden):
        set_aside(work, learner, sitting_id)
    with pytest.raises(NotFound):
        set_aside(work, a_person(work, "administrator"), sitting_id)
