"""What happened is told as the standard asks, the same each time, and corrected by voiding."""

from datetime import timedelta

import pytest

from tests.store.test_observations import watched
from tests.support import practised
from tests.support.people import NOW, a_person
from tests.support.plain_bank import plain_bank
from tests.support.practised import a_sitting
from tests.support.records import a_record, evidence
from tests.support.statements_judge import faults_of_all, standing
from tests.use_cases.test_contest_question import LATER, answer, contest, sat
from trainer.use_cases import tell_learning, watch_again, withdraw
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

ADDRESS = "https://quayside.example"
LONG_AGO, SOMEDAY = NOW - timedelta(days=90), NOW + timedelta(days=90)


@pytest.fixture
def plain():
    return plain_bank()


def told(work, place, since=LONG_AGO, until=SOMEDAY):
    with work.reading() as unit:
        viewer = tell_learning.teller(unit, place)
    with work.reading(viewer) as unit:
        home = tell_learning.home_of(unit, ADDRESS)
        found = list(tell_learning.tell(unit, home, since, until))
    assert faults_of_all(found) == []
    return found


def verbs(statements):
    return [one["verb"]["id"].rsplit("/", 1)[1] for one in statements]


def test_practice_is_told_by_its_organisation_and_day(work, plain, place):
    learner, other = a_person(work, organisation=place), a_person(work)
    item = practised.answer(work, plain, learner, right=True)
    practised.answer(work, plain, learner, right=False, at=NOW + timedelta(days=1))
    practised.answer(work, plain, other, right=True)
    found = told(work, place)
    assert [one["result"]["success"] for one in found] == [True, False]
    assert found[0]["object"]["id"] == f"{ADDRESS}/activities/questions/{item}"
    assert found[0]["actor"]["account"]["name"] == learner.id
    assert told(work, place) == found
    assert told(work, place, until=NOW + timedelta(days=1)) == found[:1]
    assert told(work, place, since=NOW + timedelta(days=1)) == found[1:]


def test_many_answers_are_told_once_each(work, plain, place, monkeypatch):
    monkeypatch.setattr("trainer.store.learning_events.AT_ONCE", 2)
    learner = a_person(work, organisation=place)
    for _ in range(5):
        practised.answer(work, plain, learner, right=True)
    assert len(told(work, place)) == 5


def test_a_result_decided_again_is_told_voided_and_told_anew(work, plain, place, tmp_path):
    from trainer.use_cases.certify import Issuing

    sitter, wrong = sat(work, plain, place)
    before = told(work, place)
    assert verbs(before) == [*["answered"] * 40, "initialized", "completed", "terminated", "failed"]
    contest(work, sitter, wrong[0])
    teacher = a_person(work, "instructor", organisation=place)
    answer(work, plain, teacher, True, Issuing(tmp_path / "keys", ADDRESS))
    after = told(work, place)
    assert {one["id"] for one in before} <= {one["id"] for one in after}
    assert verbs(after).count("voided") == 2
    holds = standing(after)
    assert verbs(holds).count("answered") == 39
    (verdict,) = [one for one in holds if one["verb"]["id"].endswith("failed")]
    assert verdict["result"]["score"]["max"] == 39
    only_later = told(work, place, since=LATER)
    assert only_later == after


def test_a_withdrawn_record_takes_its_pass_back(work, bank, earned, issuing, place):
    learner = a_person(work, organisation=place)
    row = a_sitting(learner, "tape_in", True)
    with work.writing(learner.viewer) as unit:
        unit.session.add(row)
        unit.session.flush()
        sitting_id = row.id
    earned.known[learner.id, "tape_in"] = evidence(sitting_id)
    record = a_record(work, bank, earned, issuing, learner)
    assert verbs(told(work, place))[-1] == "passed"
    boss = a_person(work, "instructor", organisation=place)
    with work.writing(boss.viewer) as unit:
        withdraw.withdraw(unit, record, "The work was somebody else's.", LATER)
    assert verbs(told(work, place))[-2:] == ["passed", "voided"]
    assert verbs(told(work, place, since=LATER))[-2:] == ["passed", "voided"]
    assert "passed" not in verbs(standing(told(work, place)))


def test_work_signed_off_names_its_observer(work, place):
    boss = a_person(work, "instructor", organisation=place)
    learner = a_person(work, organisation=place)
    sheet, _ = watched(work, boss, learner)
    watched(work, boss, learner, "remove", met=False)
    (said,) = told(work, place)
    assert verbs([said]) == ["passed"]
    assert said["object"]["id"] == f"{ADDRESS}/activities/services/tape_in/fit"
    assert said["context"]["instructor"]["account"]["name"] == boss.id


def test_work_whose_sheet_was_set_aside_is_voided(work, place):
    """Also where only the setting aside falls between the two moments."""
    boss = a_person(work, "instructor", organisation=place)
    chief = a_person(work, "administrator", organisation=place)
    sheet, _ = watched(work, boss, a_person(work, organisation=place))
    before = told(work, place)
    with work.writing(chief.viewer) as unit:
        watch_again.set_aside(unit, sheet, "Nobody was there when it was done.", LATER)
    for found in (told(work, place), told(work, place, since=LATER)):
        assert found[0] == before[0] and verbs(found) == ["passed", "voided"]
    assert standing(told(work, place)) == []


def test_only_administrators_are_told_and_only_with_an_address(work, place):
    for role, address, refusal in (
        ("instructor", ADDRESS, Forbidden),
        ("administrator", "", InputProblem),
    ):
        who = a_person(work, role, organisation=place)
        with work.reading(who.viewer) as unit, pytest.raises(refusal):
            tell_learning.home_of(unit, address)
    with work.reading() as unit, pytest.raises(NotFound):
        tell_learning.teller(unit, "nobody")
