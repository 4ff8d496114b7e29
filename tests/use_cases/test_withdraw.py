"""Suspended, withdrawn, reinstated: the record, the list, the standing and the log all say so."""

import json
from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from tests.support.records import a_record
from tests.use_cases.test_evidence import an_observation
from trainer.store import events, records, standings
from trainer.use_cases import keep_people, withdraw
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.verify_record import show

REASON = "Worked on a client with an inflamed scalp."
LATER = NOW + timedelta(days=30)


@pytest.fixture
def holder(work, place):
    return a_person(work, organisation=place, name="Ines Dorval")


@pytest.fixture
def boss(work, place):
    return a_person(work, "instructor", organisation=place)


@pytest.fixture
def record_id(work, bank, earned, issuing, holder):
    return a_record(work, bank, earned, issuing, holder)


def shown(work, bank, issuing, record_id, now=LATER):
    with work.reading() as unit:
        return show(unit, bank, record_id, issuing, now)


def words(work, someone):
    with work.reading() as unit:
        return {row.word for row in standings.of_person(unit, someone.id, "tape_in")}


@pytest.mark.parametrize(
    ("act", "word"), [(withdraw.suspend, "suspended"), (withdraw.withdraw, "withdrawn")]
)
def test_a_stop_shows_everywhere(work, bank, issuing, holder, boss, record_id, act, word):
    assert shown(work, bank, issuing, record_id).verification.valid
    with work.writing(boss.viewer) as unit:
        act(unit, record_id, REASON, LATER)
    found = shown(work, bank, issuing, record_id)
    assert not found.verification.valid
    assert found.verification.reasons[0].startswith("No longer valid")
    assert found.row.state == word
    assert words(work, holder) == {word}
    with work.reading() as unit:
        assert events.last(unit).kind == f"record.{word}"


def test_a_suspension_is_lifted_by_a_new_record_that_ends_the_same_day(
    work, bank, issuing, holder, boss, record_id
):
    with work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record_id, REASON, LATER)
    back = LATER + timedelta(days=10)
    with work.writing(boss.viewer) as unit:
        renewed = withdraw.reinstate(
            unit, record_id, "The complaint was not upheld.", issuing, back
        )
    with work.writing(boss.viewer) as unit:
        again = withdraw.reinstate(unit, record_id, "Clicked a second time.", issuing, back)
    assert again == renewed != record_id
    assert shown(work, bank, issuing, renewed, back).verification.valid
    assert not shown(work, bank, issuing, record_id, back).verification.valid
    assert words(work, holder) == {"competent"}
    with work.reading() as unit:
        old, new = records.record(unit, record_id), records.record(unit, renewed)
        assert new.valid_until == old.valid_until
        assert json.loads(new.document)["id"] != json.loads(old.document)["id"]


def test_withdrawal_is_final(work, issuing, boss, record_id):
    with work.writing(boss.viewer) as unit:
        withdraw.withdraw(unit, record_id, REASON, LATER)
    for act in (withdraw.suspend, withdraw.withdraw):
        with pytest.raises(InputProblem), work.writing(boss.viewer) as unit:
            act(unit, record_id, REASON, LATER)
    with pytest.raises(InputProblem), work.writing(boss.viewer) as unit:
        withdraw.reinstate(unit, record_id, REASON, issuing, LATER)


def test_what_has_ended_is_not_reinstated(work, issuing, boss, record_id):
    with work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record_id, REASON, LATER)
    with pytest.raises(InputProblem, match="ended"), work.writing(boss.viewer) as unit:
        withdraw.reinstate(unit, record_id, REASON, issuing, NOW + timedelta(days=400))


def test_a_reason_is_needed(work, boss, record_id):
    with pytest.raises(InputProblem, match="reason"), work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record_id, "  because ", LATER)


def test_only_the_academys_own_deciders_may(work, holder, record_id):
    with pytest.raises(Forbidden), work.writing(holder.viewer) as unit:
        withdraw.suspend(unit, record_id, REASON, LATER)
    stranger = a_person(work, "administrator")
    with pytest.raises(NotFound), work.writing(stranger.viewer) as unit:
        withdraw.suspend(unit, record_id, REASON, LATER)


def test_who_watched_the_work_does_not_lift_the_suspension(work, issuing, holder, boss, record_id):
    with work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record_id, REASON, LATER)
        unit.session.add(an_observation(holder, boss, "fit"))
    with pytest.raises(Forbidden, match="You watched"), work.writing(boss.viewer) as unit:
        withdraw.reinstate(unit, record_id, REASON, issuing, LATER)
    other = a_person(work, "instructor", organisation=boss.organisation)
    with work.writing(other.viewer) as unit:
        assert withdraw.reinstate(unit, record_id, REASON, issuing, LATER)


NAMED = "Married in May; certificate seen."


def renamed(work, boss, holder, name="Ines Abara"):
    chief = a_person(work, "administrator", organisation=boss.organisation)
    with work.writing(chief.viewer) as unit:
        keep_people.rename(unit, holder.id, name, LATER)


def test_a_new_name_brings_a_new_record_and_the_old_one_is_replaced(
    work, bank, issuing, holder, boss, record_id
):
    renamed(work, boss, holder)
    with work.writing(boss.viewer) as unit:
        again = withdraw.reissue(unit, record_id, NAMED, issuing, LATER)
    with work.writing(boss.viewer) as unit:
        assert withdraw.reissue(unit, record_id, NAMED, issuing, LATER) == again
        old, new = records.record(unit, record_id), records.record(unit, again)
        assert (new.valid_from, new.valid_until) == (old.valid_from, old.valid_until)
        assert old.state == "replaced"
        assert withdraw.carries_name(new, "Ines Abara")
        assert not withdraw.carries_name(new, "Ines Dorval")
        assert events.last(unit).kind == "record.replaced"
    assert shown(work, bank, issuing, again).verification.valid
    found = shown(work, bank, issuing, record_id)
    assert not found.verification.valid
    assert words(work, holder) == {"competent"}


def test_only_a_record_in_force_under_another_name_is_issued_again(
    work, issuing, holder, boss, record_id
):
    with pytest.raises(InputProblem, match="present name"), work.writing(boss.viewer) as unit:
        withdraw.reissue(unit, record_id, NAMED, issuing, LATER)
    renamed(work, boss, holder)
    with work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record_id, REASON, LATER)
    with pytest.raises(InputProblem, match="in force"), work.writing(boss.viewer) as unit:
        withdraw.reissue(unit, record_id, NAMED, issuing, LATER)
    with pytest.raises(Forbidden), work.writing(holder.viewer) as unit:
        withdraw.reissue(unit, record_id, NAMED, issuing, LATER)


def test_only_administrators_rename_and_only_their_own_people(work, holder, boss):
    with pytest.raises(Forbidden), work.writing(boss.viewer) as unit:
        keep_people.rename(unit, holder.id, "Ines Abara", LATER)
    stranger = a_person(work, "administrator")
    with pytest.raises(NotFound), work.writing(stranger.viewer) as unit:
        keep_people.rename(unit, holder.id, "Ines Abara", LATER)
    chief = a_person(work, "administrator", organisation=boss.organisation)
    for wrong in ("Ines Dorval", "  ", "x" * 121):
        with pytest.raises(InputProblem) as caught, work.writing(chief.viewer) as unit:
            keep_people.rename(unit, holder.id, wrong, LATER)
        assert caught.value.where == "name"
