"""Nobody sits before they agreed, practised, asked, and somebody else opened it."""

from datetime import timedelta

import pytest

from tests.support.admitted import a_module, agreed, asked, begun, opened, ready
from tests.support.people import NOW, a_person
from tests.support.plain_bank import METHOD, plain_bank
from tests.support.practised import a_sitting
from trainer.core.marking.accommodation import NONE_NEEDED, Accommodation
from trainer.store import admissions, competencies, events, modules, people, sittings
from trainer.use_cases import (
    accommodate,
    admit_candidate,
    agree_to_scheme,
    ask_to_sit,
    assign_module,
    begin_sitting,
    examiners,
    sit_assessment,
)
from trainer.use_cases.evidence import gather
from trainer.use_cases.keep_log import check_log
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.sit_assessment import FULL

DAYS = 7


@pytest.fixture
def plain():
    return plain_bank()


@pytest.fixture
def learner(work):
    return a_person(work)


@pytest.fixture
def boss(work, learner):
    return a_person(work, "instructor", organisation=learner.organisation)


def stands(work, plain, learner, now=NOW):
    with work.reading(learner.viewer) as unit:
        found = ask_to_sit.eligibility(unit, plain, METHOD, FULL, DAYS, now)
    return found, {one.what: one.met for one in found.conditions}


def admit(work, plain, boss, admission_id, identity="known", granted=NONE_NEEDED, now=NOW):
    with work.writing(boss.viewer) as unit:
        admit_candidate.admit(unit, plain, admission_id, identity, granted, DAYS, now)


def begin(work, plain, learner, now=NOW):
    prepared = sit_assessment.prepare(plain, METHOD)
    with work.writing(learner.viewer) as unit:
        return begin_sitting.begin(unit, plain, METHOD, prepared, now)


def test_each_condition_is_shown_and_asked_for(work, plain, learner):
    found, met = stands(work, plain, learner)
    assert met == {"practice": False, "waiting": True, "agreement": False}
    assert not found.may_ask
    with pytest.raises(InputProblem, match="practice"):
        asked(work, plain, learner, METHOD)
    a_module(work, learner, METHOD)
    with pytest.raises(InputProblem, match="agreement"):
        asked(work, plain, learner, METHOD)
    agreed(work, plain, learner)
    assert stands(work, plain, learner)[0].may_ask
    with work.writing() as unit:
        unit.session.add(a_sitting(learner, METHOD, False))
    with pytest.raises(InputProblem, match="waiting time"):
        asked(work, plain, learner, METHOD, now=NOW + timedelta(days=6), days=DAYS)
    assert asked(work, plain, learner, METHOD, now=NOW + timedelta(days=7), days=DAYS)


def test_practice_does_where_no_module_stands_before_it(work, plain, learner):
    agreed(work, plain, learner)
    known = {"person_id": learner.id, "method": METHOD, "topic": "", "mean": 0.0, "sd": 1.0}
    for n, met in ((19, False), (20, True)):
        with work.writing() as unit:
            row = known | {"n": n, "right": 9, "updated_at": NOW, "waiting_id": None}
            competencies.keep(unit, [row])
        assert stands(work, plain, learner)[1]["practice"] is met
    module_id = a_module(work, learner, METHOD, answered=3)
    assert stands(work, plain, learner)[1]["practice"] is False
    a_module(work, learner, "another_method", answered=0)
    teacher = a_person(work, "instructor", organisation=learner.organisation)
    with work.writing(teacher.viewer) as unit:
        assign_module.close(unit, module_id, NOW)
    assert stands(work, plain, learner)[1]["practice"] is True


def test_a_changed_text_is_signed_again(work, plain, learner):
    agreed(work, plain, learner)
    other = plain_bank("other")
    other.wording["en/agreement"]["promise"] = "Another promise."
    assert stands(work, plain, learner)[1]["agreement"]
    assert not stands(work, other, learner)[1]["agreement"]
    old = agree_to_scheme.version_of(plain)
    with work.writing(learner.viewer) as unit:
        with pytest.raises(InputProblem, match="changed"):
            agree_to_scheme.sign(unit, other, Proven(learner.id), old, NOW)
        with pytest.raises(Forbidden):
            agree_to_scheme.sign(unit, other, Proven("somebody else"), old, NOW)


def test_opened_begun_and_every_step_in_the_log(work, plain, learner, boss):
    ready(work, plain, learner, METHOD)
    with work.writing(learner.viewer) as unit:
        admission_id = ask_to_sit.ask(unit, plain, METHOD, FULL, "Larger type", DAYS, NOW)
        assert ask_to_sit.ask(unit, plain, METHOD, FULL, "", DAYS, NOW) == admission_id
    with pytest.raises(InputProblem, match="nobody has opened"):
        begin(work, plain, learner)
    with work.reading(boss.viewer) as unit:
        assert admit_candidate.waiting(unit) == 1
        (waits,) = admit_candidate.desk(unit, NOW).waiting
        assert (waits.id, waits.needs) == (admission_id, "Larger type")
        assert sittings.of_person(unit, learner.id, 9) == []
    admit(work, plain, boss, admission_id, "passport", Accommodation(25, 2, 10, True))
    with pytest.raises(InputProblem, match="open already"):
        admit(work, plain, boss, admission_id)
    later = NOW + timedelta(hours=3)
    sitting_id = begin(work, plain, learner, later)
    assert begin(work, plain, learner, later) == sitting_id
    with work.reading(learner.viewer) as unit:
        row = sittings.own(unit, sitting_id)
        assert (row.opened_by, row.counts, row.minutes) == (boss.id, True, 75)
        assert (row.pauses, row.pause_minutes, row.larger_type) == (2, 10, True)
        assert row.opened_at == later
        kept = admissions.latest(unit, learner.id, METHOD)
        assert (kept.state, kept.needs, kept.identity) == ("begun", "", "passport")
        kinds = [one.kind for one in events.all_in_order(unit)]
        assert kinds[-4:] == [
            "sitting.asked",
            "accommodation.granted",
            "sitting.opened",
            "sitting.begun",
        ]
        assert check_log(unit)[1] == []
        assert "Larger type" not in repr([one.body for one in events.bodies(unit)])
        assert examiners.examiners_of(unit, learner.id, METHOD) == {boss.id}
        assert accommodate.standing(unit, learner.id) == Accommodation(25, 2, 10, True)


def test_an_opened_one_waits_for_some_hours_then_must_be_opened_again(work, plain, learner, boss):
    opened(work, plain, learner, METHOD)
    late = NOW + timedelta(hours=4, minutes=1)
    with pytest.raises(InputProblem, match="nobody has opened"):
        begin(work, plain, learner, late)
    assert stands(work, plain, learner, late)[0].may_ask
    admit(work, plain, boss, asked(work, plain, learner, METHOD, now=late), now=late)
    assert begin(work, plain, learner, late)


def test_nobody_opens_their_own_nor_anothers_house(work, plain, learner):
    both = a_person(work, "apprentice", "instructor", organisation=learner.organisation)
    ready(work, plain, both, METHOD)
    own = asked(work, plain, both, METHOD)
    with pytest.raises(Forbidden, match="own assessment"):
        admit(work, plain, both, own)
    with pytest.raises(NotFound):
        admit(work, plain, a_person(work, "instructor"), own)
    for role in ("administrator", "apprentice"):
        someone = a_person(work, role, organisation=learner.organisation)
        with pytest.raises(Forbidden):
            admit(work, plain, someone, own)


def test_who_it_is_must_be_said_and_conditions_still_be_met(work, plain, learner, boss):
    ready(work, plain, learner, METHOD)
    admission_id = asked(work, plain, learner, METHOD)
    with pytest.raises(InputProblem) as problem:
        admit(work, plain, boss, admission_id, "")
    assert problem.value.where == "identity"
    with work.writing() as unit:
        unit.session.add(a_sitting(learner, METHOD, False))
    with pytest.raises(InputProblem, match="not met"):
        admit(work, plain, boss, admission_id)


def test_declined_and_taken_back(work, plain, learner, boss):
    ready(work, plain, learner, METHOD)
    admission_id = asked(work, plain, learner, METHOD)
    with work.writing(boss.viewer) as unit:
        with pytest.raises(InputProblem, match="letters"):
            admit_candidate.decline(unit, admission_id, "no", NOW)
        admit_candidate.decline(unit, admission_id, "The room is taken today.", NOW)
    found, _ = stands(work, plain, learner)
    assert found.may_ask and found.declined.why == "The room is taken today."
    again = asked(work, plain, learner, METHOD, now=NOW + timedelta(minutes=5))
    with work.writing(learner.viewer) as unit:
        ask_to_sit.take_back(unit, METHOD, NOW)
        ask_to_sit.take_back(unit, METHOD, NOW)
    with pytest.raises(InputProblem, match="no longer"):
        admit(work, plain, boss, again)


def test_in_another_house_it_waits_there(work, plain, learner):
    ready(work, plain, learner, METHOD)
    asked(work, plain, learner, METHOD)
    elsewhere = a_person(work, "administrator")
    with work.writing(elsewhere.viewer) as unit:
        unit.session.add(
            people.MembershipRow(
                person_id=learner.id,
                organisation_id=elsewhere.organisation,
                roles=["apprentice"],
                since=NOW,
            )
        )
    there = type(learner.viewer)(learner.id, elsewhere.organisation, learner.viewer.roles)
    with work.writing(there) as unit:
        found = ask_to_sit.eligibility(unit, plain, METHOD, FULL, DAYS, NOW)
        assert found.elsewhere and not found.may_ask and not found.is_open
        with pytest.raises(InputProblem, match="elsewhere"):
            ask_to_sit.ask(unit, plain, METHOD, FULL, "", DAYS, NOW)


def test_where_nobody_invigilates_it_is_practice_and_earns_nothing(work, plain, learner):
    chief = a_person(work, "administrator", organisation=learner.organisation)
    with work.writing(chief.viewer) as unit:
        admit_candidate.invigilate(unit, False, NOW)
    with work.writing(learner.viewer) as unit, pytest.raises(Forbidden):
        admit_candidate.invigilate(unit, True, NOW)
    ready(work, plain, learner, METHOD)
    asked(work, plain, learner, METHOD)
    sitting_id = begin(work, plain, learner)
    with work.writing(learner.viewer) as unit:
        row = sittings.own(unit, sitting_id, to_change=True)
        assert (row.opened_by, row.counts) == (None, False)
        row.state, row.unfinished, row.finished_at = "done", None, NOW
        row.passed, row.score = True, 40
    with work.reading(learner.viewer) as unit:
        assert sittings.passed(unit, learner.id, METHOD) is None
        assert gather(unit, learner.id, METHOD).result is None


def test_a_form_is_used_once(work, plain, learner):
    prepared = sit_assessment.prepare(plain, METHOD)
    begun(work, plain, learner, METHOD, prepared)
    other = a_person(work, organisation=learner.organisation)
    opened(work, plain, other, METHOD)
    with pytest.raises(NotFound), work.writing(other.viewer) as unit:
        begin_sitting.begin(unit, plain, METHOD, prepared, NOW)
    with work.reading(other.viewer) as unit:
        assert sittings.of_person(unit, other.id, 9) == []


def test_modules_of_another_house_do_not_stand_before_it(work, learner):
    a_module(work, learner, METHOD)
    stranger = a_person(work)
    seen = type(learner.viewer)(learner.id, stranger.organisation, learner.viewer.roles)
    with work.reading(seen) as unit:
        assert modules.before_assessment(unit, learner.id, METHOD) == []
