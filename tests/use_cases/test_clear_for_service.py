"""The desk: the answer from summaries and records, for one's own people alone."""

from dataclasses import replace
from datetime import date

import pytest

from tests.support.people import NOW, a_person
from tests.support.records import a_record, evidence
from trainer.store import competencies
from trainer.use_cases import certify, clear_for_service, keep_people, withdraw
from trainer.use_cases.clear_for_service import Ask
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.work import Viewer

DAY = date(2026, 3, 10)
GRACE = 30


@pytest.fixture
def stylist(work, salon):
    """Trained at an academy, works at the salon."""
    someone = a_person(work, name="Noor Haddad")
    with work.writing() as unit:
        keep_people.join(unit, someone.id, salon, ("apprentice",), NOW)
    return someone


def asked(work, bank, desk, stylist, service="fit", on=DAY, method="tape_in"):
    with work.reading(desk.viewer) as unit:
        ask = Ask(stylist.id, method, service, on)
        return clear_for_service.answer(unit, bank, ask, GRACE).clearance


def test_a_record_from_an_academy_clears_at_the_salon(work, bank, earned, issuing, desk, stylist):
    assert asked(work, bank, desk, stylist).answer == "not_cleared"
    a_record(work, bank, earned, issuing, stylist)
    assert asked(work, bank, desk, stylist).answer == "cleared"
    assert asked(work, bank, desk, stylist, on=date(2027, 3, 3)).answer == "cleared"
    assert asked(work, bank, desk, stylist, on=date(2027, 3, 4)).answer == "supervised_only"
    assert asked(work, bank, desk, stylist, on=date(2027, 4, 3)).answer == "not_cleared"
    assert asked(work, bank, desk, stylist, on=date(2026, 3, 2)).answer != "cleared"
    assert asked(work, bank, desk, stylist, method="fusion_bond").answer == "not_cleared"


def test_after_the_assessment_the_work_is_supervised(work, bank, earned, issuing, desk, stylist):
    earned.known[stylist.id, "tape_in"] = evidence(observed=("fit",))
    with work.writing() as unit:
        certify.consider(unit, bank, stylist.id, stylist.organisation, "tape_in", issuing, NOW)
    found = asked(work, bank, desk, stylist)
    assert found.answer == "supervised_only"
    assert found.would_change_it == "Still to be observed: maintain, remove."
    assert asked(work, bank, desk, stylist, "consult").answer == "cleared"


def test_a_suspension_elsewhere_reaches_the_desk(work, bank, earned, issuing, desk, stylist):
    record_id = a_record(work, bank, earned, issuing, stylist)
    boss = a_person(work, "instructor", organisation=stylist.organisation)
    with work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record_id, "Complaint being looked into.", NOW)
    assert asked(work, bank, desk, stylist).answer == "not_cleared"


def test_somebody_elses_people_are_not_there(work, bank, desk):
    stranger = a_person(work)
    with pytest.raises(NotFound):
        asked(work, bank, desk, stranger)


def test_only_the_desk_may_ask(work, bank, stylist):
    with pytest.raises(Forbidden):
        asked(work, bank, replace(stylist, viewer=Viewer(stylist.id, "x", frozenset())), stylist)


@pytest.mark.parametrize("wrong", [{"method": "glue_gun"}, {"service": "wash"}])
def test_an_unknown_method_or_service_is_named(work, bank, desk, stylist, wrong):
    with pytest.raises(InputProblem, match=next(iter(wrong))):
        asked(work, bank, desk, stylist, **wrong)


def test_who_has_only_practised_is_working_towards(work, bank, desk, stylist):
    known = {"person_id": stylist.id, "method": "micro_link", "topic": "", "mean": 0.1, "sd": 0.9}
    rest = {"n": 3, "right": 2, "updated_at": NOW, "waiting_id": None}
    with work.writing() as unit:
        competencies.keep(unit, [known | rest])
    found = asked(work, bank, desk, stylist, method="micro_link")
    assert "working towards" in found.reason
