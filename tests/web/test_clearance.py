"""The desk's two pages: the team, and the answer."""

import pytest

from tests.support.people import a_person, an_organisation
from tests.support.records import Earned, a_record
from trainer import clock
from trainer.use_cases import keep_people
from trainer.use_cases.certify import Issuing


@pytest.fixture
def salon(sqlite_work):
    return an_organisation(sqlite_work, "Fig Lane", "salon")


@pytest.fixture
def desk(sqlite_work, salon):
    return a_person(sqlite_work, "salon_manager", organisation=salon)


@pytest.fixture
def stylist(sqlite_work, salon, bank, monkeypatch, settings):
    earned = Earned({})
    earned.put_in_place(monkeypatch)
    someone = a_person(sqlite_work, name="Noor Haddad")
    with sqlite_work.writing() as unit:
        keep_people.join(unit, someone.id, salon, ("apprentice",), clock.now())
    issuing = Issuing(settings.keys, "http://localhost")
    a_record(sqlite_work, bank, earned, issuing, someone, now=clock.now())
    return someone


def question(person, method="tape_in", service="fit", on=None):
    day = on or clock.today().isoformat()
    return f"/clearance?person={person.id}&method={method}&service={service}&on={day}"


def test_an_empty_house_is_told_what_to_do(visit, desk):
    assert "Nobody here yet" in visit(desk).get("/team")
    assert "Nobody to ask about yet" in visit(desk).get("/clearance")


def test_the_team_shows_who_stands_where(visit, desk, stylist):
    page = visit(desk).get("/team")
    assert "Noor Haddad" in page
    assert "competent" in page


def test_the_answer_comes_with_reason_change_and_reminder(visit, desk, stylist):
    page = visit(desk).get(question(stylist))
    for said in (
        "Cleared",
        "holds a completion record",
        "What would change it",
        "Consultation and patch test still come first",
    ):
        assert said in page
    assert "Not cleared" in visit(desk).get(question(stylist, "fusion_bond"))


def test_the_form_alone_starts_with_today(visit, desk, stylist):
    page = visit(desk).get("/clearance")
    assert f'value="{clock.today().isoformat()}"' in page
    assert "What would change it" not in page


@pytest.mark.parametrize("more", ["&on=2026-02-30", "&service=wash&on=2026-03-01", "&on="])
def test_a_question_that_cannot_be_read_is_asked_again(visit, desk, stylist, more):
    page = visit(desk).get(f"/clearance?person={stylist.id}&method=tape_in{more}")
    assert 'role="alert"' in page
    assert "What would change it" not in page


def test_another_houses_people_are_not_there(visit, sqlite_work, desk, stylist):
    visit(desk).get(question(a_person(sqlite_work)), 404)


def test_the_desk_is_not_for_apprentices(visit, stylist):
    visit(stylist).get("/team", 403)
    visit(stylist).get("/clearance", 403)
    visit().get("/team")
