"""Work watched at the chair: who may sign, what is kept, what it brings."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.support.people import NOW, PASSWORD, PASSWORDS, a_person
from tests.support.practised import a_sitting
from tests.support.records import signing_with
from trainer.store import events, observations
from trainer.use_cases import keep_log, sign_in, sign_off
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.sign_in import MOST_FOR_ADDRESS, Proven, TooManyTries
from trainer.use_cases.sign_off import Watched

METHOD = "tape_in"
NEXT = "Leave the hairline free, then show it again."


@pytest.fixture
def boss(work):
    return a_person(work, "instructor", name="Petra Lindqvist")


@pytest.fixture
def learner(work, boss):
    return a_person(work, organisation=boss.organisation, name="Ama Owusu")


def ids(bank, service="fit", critical=None):
    criteria = bank.criteria_of(METHOD, service)
    return frozenset(one.id for one in criteria if critical in (None, one.critical))


@pytest.fixture
def watched(bank, learner):
    return Watched(learner.id, METHOD, "fit", ids(bank), "Calm hands.", NOW.date())


def sign(work, bank, issuing, boss, watched, now=NOW, proven=None):
    by = proven or sign_in.prove(work, boss.viewer, PASSWORDS, PASSWORD, now)
    with work.writing(boss.viewer) as unit:
        return sign_off.sign(unit, bank, watched, by, signing_with(issuing), now)


def test_what_was_watched_is_kept_as_it_was_signed(work, bank, issuing, boss, learner, watched):
    signed = sign(work, bank, issuing, boss, watched)
    assert signed.outcome.met and signed.record_id is None
    with work.reading(boss.viewer) as unit:
        seen = sign_off.see(unit, bank, signed.id)
        row = observations.observation(unit, signed.id)
        last = events.last(unit)
        assert keep_log.check_log(unit)[1] == []
    assert (seen.line.name, seen.line.observer) == ("Ama Owusu", "Petra Lindqvist")
    assert {line["text"] for line in seen.lines} == {
        one.text for one in bank.criteria_of(METHOD, "fit")
    }
    assert seen.notes == "Calm hands." and row.bank_version == bank.version
    assert last.kind == "observation.signed"


def test_a_critical_criterion_left_open_is_not_met(work, bank, issuing, boss, watched):
    critical = sorted(ids(bank, critical=True))
    short = replace(watched, met=watched.met - {critical[0]}, next_step=NEXT)
    signed = sign(work, bank, issuing, boss, short)
    assert not signed.outcome.met
    assert [one.id for one in signed.outcome.critical_missed] == critical[:1]


def test_the_same_sheet_sent_twice_is_signed_once(work, bank, issuing, boss, learner, watched):
    twice = replace(watched, submission_id="s")
    assert sign(work, bank, issuing, boss, twice).id == sign(work, bank, issuing, boss, twice).id
    with work.reading(boss.viewer) as unit:
        assert len(sign_off.of_person(unit, learner.id)) == 1


def test_the_third_service_after_a_passed_assessment_brings_the_record(
    work, bank, issuing, boss, learner, watched
):
    with work.writing() as unit:
        unit.session.add(a_sitting(learner, METHOD, True))
    found = []
    for service in ("fit", "maintain", "remove"):
        one = replace(watched, service=service, met=ids(bank, service))
        found.append(sign(work, bank, issuing, boss, one).record_id)
    assert found[:2] == [None, None] and found[2]


def test_nobody_signs_their_own_work(work, bank, boss, watched):
    both = a_person(work, "instructor", "apprentice", organisation=boss.organisation)
    with work.reading(both.viewer) as unit, pytest.raises(Forbidden, match="your own work"):
        sign_off.sheet(unit, bank, both.id, METHOD, "fit")


def test_only_who_typed_the_password_signs(work, bank, issuing, boss, learner, watched):
    with pytest.raises(InputProblem) as caught:
        sign_in.prove(work, boss.viewer, PASSWORDS, "not it", NOW)
    assert caught.value.where == "password"
    with pytest.raises(Forbidden):
        sign(work, bank, issuing, boss, watched, proven=Proven(learner.id))
    with pytest.raises(Forbidden):
        sign(work, bank, issuing, learner, watched)


def test_too_many_wrong_passwords_close_the_sheet_for_a_while(work, boss):
    for _ in range(MOST_FOR_ADDRESS):
        with pytest.raises(InputProblem):
            sign_in.prove(work, boss.viewer, PASSWORDS, "not it", NOW)
    with pytest.raises(TooManyTries):
        sign_in.prove(work, boss.viewer, PASSWORDS, PASSWORD, NOW)


def test_strangers_other_roles_and_unknown_sheets_are_not_there(work, bank, boss, learner):
    stranger = a_person(work)
    fellow = a_person(work, "instructor", organisation=boss.organisation)
    with work.reading(boss.viewer) as unit:
        for person, method, service in (
            (stranger.id, METHOD, "fit"),
            (fellow.id, METHOD, "fit"),
            (learner.id, "glue_gun", "fit"),
            (learner.id, METHOD, "consult"),
        ):
            with pytest.raises(NotFound):
                sign_off.sheet(unit, bank, person, method, service)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"on": NOW.date() + timedelta(days=1)}, "on"),
        ({"on": NOW.date() - timedelta(days=15)}, "on"),
        ({"notes": "x" * 2001}, "notes"),
        ({"met": frozenset({"other.criterion"})}, "criteria"),
        ({"met": frozenset()}, "next_step"),
        ({"met": frozenset(), "next_step": " again "}, "next_step"),
        ({"next_step": "x" * 2001}, "next_step"),
    ],
)
def test_what_cannot_be_names_its_field(work, bank, issuing, boss, watched, change, field):
    with pytest.raises(InputProblem) as caught:
        sign(work, bank, issuing, boss, replace(watched, **change))
    assert caught.value.where == field


def test_the_one_it_is_about_reads_it_and_colleagues_do_not(
    work, bank, issuing, boss, learner, watched
):
    signed = sign(work, bank, issuing, boss, watched)
    with work.reading(learner.viewer) as unit:
        assert sign_off.see(unit, bank, signed.id).line.met
    fellow = a_person(work, organisation=boss.organisation)
    with work.reading(fellow.viewer) as unit, pytest.raises(Forbidden):
        sign_off.see(unit, bank, signed.id)
    stranger = a_person(work, "instructor")
    with work.reading(stranger.viewer) as unit, pytest.raises(NotFound):
        sign_off.see(unit, bank, signed.id)
