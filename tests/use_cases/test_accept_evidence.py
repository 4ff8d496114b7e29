"""Other evidence: one asks, another decides, both reasons are kept, the record says so."""

import json
from datetime import timedelta

import pytest

from tests.support.people import NOW, PASSWORD, PASSWORDS, a_person
from tests.support.practised import a_sitting
from tests.support.records import signing_with
from trainer.store import events, records
from trainer.use_cases import accept_evidence, certify, sign_in, sign_off
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.sign_off import Watched

METHOD = "tape_in"
WHY = "Watched at her last academy on 2 February; signed sheet seen."
YES = "The sheet names every criterion, and I rang the academy."


@pytest.fixture
def boss(work, place):
    return a_person(work, "instructor", organisation=place)


@pytest.fixture
def chief(work, place):
    return a_person(work, "administrator", organisation=place, name="Ottoline Brask")


@pytest.fixture
def learner(work, place):
    return a_person(work, organisation=place)


def ask(work, bank, by, learner, service="remove", reason=WHY):
    with work.writing(by.viewer) as unit:
        return accept_evidence.ask(unit, bank, learner.id, METHOD, service, reason, NOW)


def decide(work, bank, issuing, by, request, agreed=True, now=NOW, reason=YES, proven=None):
    with work.writing(by.viewer) as unit:
        return accept_evidence.decide(
            unit, bank, proven or Proven(by.id), request, agreed, reason, issuing, now
        )


def watch(work, bank, issuing, boss, learner, service, missed=0):
    met = [one.id for one in bank.criteria_of(METHOD, service)][missed:]
    watched = Watched(learner.id, METHOD, service, met, "", NOW.date(), next_step="Show it again.")
    with work.writing(boss.viewer) as unit:
        sign_off.sign(unit, bank, watched, Proven(boss.id), signing_with(issuing), NOW)


def test_it_brings_the_record_which_says_how_it_came(work, bank, issuing, boss, chief, learner):
    with work.writing() as unit:
        unit.session.add(a_sitting(learner, METHOD, True))
    for service in ("fit", "maintain"):
        watch(work, bank, issuing, boss, learner, service)
    request = ask(work, bank, boss, learner)
    record_id = decide(work, bank, issuing, chief, request)
    with work.reading() as unit:
        document = json.loads(records.record(unit, record_id).document)
        kinds = [row.kind for row in events.all_in_order(unit)]
        reasons = [row.body.get("reason") for row in events.bodies(unit)]
    told = [one["name"] for one in document["evidence"]]
    assert told == ["Observed: fit", "Observed: maintain", "Accepted: remove"]
    assert "Ottoline Brask" in document["evidence"][2]["narrative"]
    assert "accepted on other evidence" in json.dumps(document["credentialSubject"])
    assert [one for one in kinds if one.startswith("override")] == [
        "override.asked",
        "override.agreed",
    ]
    assert WHY in reasons and YES in reasons


def test_who_may_not_decide(work, bank, issuing, boss, chief, learner):
    watch(work, bank, issuing, boss, learner, "fit")
    request = ask(work, bank, chief, learner)
    for someone, said in ((chief, "You asked"), (boss, "You watched")):
        with pytest.raises(Forbidden, match=said):
            decide(work, bank, issuing, someone, request)
    both = a_person(work, "administrator", "apprentice", organisation=boss.organisation)
    own = ask(work, bank, chief, both)
    with pytest.raises(Forbidden, match="your own"):
        decide(work, bank, issuing, both, own)
    with pytest.raises(Forbidden, match="yourself"):
        ask(work, bank, both, both)
    stranger = a_person(work, "administrator")
    with pytest.raises(NotFound):
        decide(work, bank, issuing, stranger, request)
    with pytest.raises(NotFound):
        ask(work, bank, stranger, learner)
    with pytest.raises(Forbidden):
        ask(work, bank, learner, learner)


def test_a_no_changes_nothing_and_is_kept(work, bank, issuing, boss, chief, learner):
    request = ask(work, bank, boss, learner)
    assert decide(work, bank, issuing, chief, request, agreed=False) is None
    with work.reading(chief.viewer) as unit:
        assert accept_evidence.undecided(unit) == ()
        (one,) = accept_evidence.decided(unit)
        assert certify.gather(unit, learner.id, METHOD).observed == {}
    assert (one.agreed, one.decided_why) == (False, YES)
    with pytest.raises(InputProblem, match="decided already"):
        decide(work, bank, issuing, chief, request)


def test_only_who_typed_the_password_decides(work, bank, issuing, boss, chief, learner):
    request = ask(work, bank, boss, learner)
    with pytest.raises(Forbidden, match="own password"):
        decide(work, bank, issuing, chief, request, proven=Proven(boss.id))
    with pytest.raises(InputProblem) as caught:
        sign_in.prove(work, chief.viewer, PASSWORDS, "not it", NOW)
    assert caught.value.where == "password"
    with pytest.raises(Forbidden):
        decide(work, bank, issuing, learner, request)
    proven = sign_in.prove(work, chief.viewer, PASSWORDS, PASSWORD, NOW)
    assert decide(work, bank, issuing, chief, request, proven=proven) is None


def test_the_latest_word_counts(work, bank, issuing, boss, chief, learner):
    """Accepted, then watched here and not met: the work that was watched last counts."""
    request = ask(work, bank, chief, learner)
    third = a_person(work, "instructor", organisation=boss.organisation)
    decide(work, bank, issuing, third, request, now=NOW - timedelta(days=2))
    with work.reading() as unit:
        assert certify.gather(unit, learner.id, METHOD).observed["remove"].accepted
    watch(work, bank, issuing, boss, learner, "remove", missed=3)
    with work.reading() as unit:
        found = certify.gather(unit, learner.id, METHOD)
    assert found.observed == {} and found.pending == {"remove": "not_met"}


def test_what_cannot_be_asked_names_its_field(work, bank, boss, learner):
    for service, reason, field in (("consult", WHY, "service"), ("fit", "seen it", "reason")):
        with pytest.raises(InputProblem) as caught:
            ask(work, bank, boss, learner, service, reason)
        assert caught.value.where == field
    ask(work, bank, boss, learner)
    with pytest.raises(InputProblem, match="asked already"):
        ask(work, bank, boss, learner)
