"""Suspended, withdrawn, reinstated: the record, the list, the standing and the log all say so."""

import json
from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import Earned, a_record, issuing_in
from trainer.store import events, records, standings
from trainer.use_cases import withdraw
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.verify_record import show

REASON = "Worked on a client with an inflamed scalp."
LATER = NOW + timedelta(days=30)


@pytest.fixture
def earned(monkeypatch):
    made = Earned({})
    made.put_in_place(monkeypatch)
    return made


@pytest.fixture
def issuing(tmp_path):
    return issuing_in(tmp_path)


@pytest.fixture
def place(work):
    return an_organisation(work)


@pytest.fixture
def holder(work, place):
    return a_person(work, organisation=place)


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
