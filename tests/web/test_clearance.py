"""The front desk: two letters, a tap, the answer; with and without a house rule."""

import re
from datetime import UTC, datetime, timedelta

import pytest

from tests.support.people import a_person
from trainer import clock
from trainer.core.records.house_rules import HouseRules
from trainer.store.supervised_work import keep_once
from trainer.use_cases import keep_diary, keep_house_rules

GRACE = 30


@pytest.fixture
def first_two_supervised(sqlite_work, bank, desk):
    with sqlite_work.writing(desk.viewer) as unit:
        rules = HouseRules(GRACE, supervised_clients=2)
        keep_house_rules.set_rules(unit, bank, "tape_in", rules, HouseRules(GRACE), clock.now())


def question(person, method="tape_in", service="fit", on=None, more=""):
    day = on or clock.today().isoformat()
    return f"/clearance?person={person.id}&method={method}&service={service}&on={day}{more}"


def test_an_empty_house_is_told_what_to_do(visit, desk):
    assert "Nobody here yet" in visit(desk).get("/team")
    assert "Nobody to ask about yet" in visit(desk).get("/clearance")


def test_letters_narrow_the_list_and_one_hit_is_opened(visit, desk, stylist, issue):
    issue("Ebba Noone")
    page = visit(desk)
    both = page.get("/clearance?q=no")
    assert "Noor Haddad" in both and "Ebba Noone" in both
    assert "What would" not in both
    assert '<h1 translate="no">Noor Haddad</h1>' in page.get("/clearance?q=HAD")
    assert "has a name that begins with" in page.get("/clearance?q=%25")
    part = page.client.get("/clearance?q=eb&part=people").get_data(as_text=True)
    assert part.count("<li>") == 1 and "Ebba Noone" in part


def test_namesakes_are_told_apart_wherever_one_is_chosen(visit, desk, stylist, issue):
    page = visit(desk)
    assert stylist.email not in page.get("/clearance")
    twin = issue("Noor Haddad")
    both = page.get("/clearance?q=noor")
    assert f"Noor Haddad ({stylist.email})" in both and f"Noor Haddad ({twin.email})" in both
    for address in (f"/clearance?person={twin.id}", question(twin)):
        html = page.get(address)
        assert f'This is about <b translate="no">{twin.email}</b>' in html
        assert stylist.email not in html
    assert twin.email in page.get("/team?view=table") and twin.email in page.get("/week/rules")


def test_one_tap_shows_every_method_and_service(visit, desk, stylist):
    html = visit(desk).get(f"/clearance?person={stylist.id}")
    assert 'aria-label="Fit, Tape-in: cleared"' in html
    assert html.count(': not cleared"') == 30
    assert "Consultation and patch test still come first" in html
    later = (clock.today() + timedelta(days=380)).isoformat()
    html = visit(desk).get(f"/clearance?person={stylist.id}&on={later}")
    assert "Tape-in: supervised only" in html
    page = visit(desk).get(f"/clearance?person={stylist.id}&on=2026-02-30", 400)
    assert 'role="alert"' in page


def test_the_answer_comes_with_reason_change_and_reminder(visit, desk, stylist):
    page = visit(desk).get(question(stylist))
    for said in (
        "Cleared",
        "holds a completion record",
        "What would end it",
        "Consultation and patch test still come first",
    ):
        assert said in page
    assert "Not cleared" in visit(desk).get(question(stylist, "fusion_bond"))


def test_others_who_may_are_named(visit, desk, stylist, issue, sqlite_work):
    other = a_person(sqlite_work, organisation=desk.organisation, name="Uli Brandt")
    page = visit(desk).get(question(other))
    assert "Who may do it that day" in page and "Noor Haddad" in page


def test_a_removal_that_cannot_wait(visit, desk, stylist, sqlite_work):
    page = visit(desk).get(question(stylist, service="remove", more="&urgent=y"))
    assert "an ambulance at once" in page and "house rules beyond the record are set aside" in page
    other = a_person(sqlite_work, organisation=desk.organisation)
    page = visit(desk).get(question(other, service="remove", more="&urgent=y"))
    assert "Nobody who is not trained forces it out" in page
    assert "without a published source" in page


@pytest.mark.parametrize(
    "more", ["&on=2026-02-30", "&on=9999-12-31", "&service=wash&on=2026-03-01", "&on="]
)
def test_a_question_that_cannot_be_read_is_asked_again(visit, desk, stylist, more):
    page = visit(desk).get(f"/clearance?person={stylist.id}&method=tape_in{more}")
    assert 'role="alert"' in page
    assert "What would" not in page


@pytest.mark.usefixtures("first_two_supervised")
def test_supervised_clients_are_counted_until_they_are_enough(visit, desk, stylist, issue):
    beside = issue("Petra Vance")
    page = visit(desk)
    html = page.get(question(stylist))
    assert "Supervised only" in html and "0 of 2 clients" in html
    assert "Nobody here is cleared to stand beside them" in html
    assert page.post("/clearance/supervised", {"person": stylist.id, "method": "tape_in"})
    sent = {"person": stylist.id, "method": "tape_in", "service": "fit", "supervisor": beside.id}
    refused = page.post("/clearance/supervised", sent | {"on": clock.today().isoformat()})
    assert "Nothing was counted" in refused


@pytest.fixture
def one_supervised(sqlite_work, bank, desk):
    """One client under supervision is asked for; one_supervised(person) has done theirs."""
    with sqlite_work.writing(desk.viewer) as unit:
        rules = HouseRules(GRACE, supervised_clients=1)
        keep_house_rules.set_rules(unit, bank, "tape_in", rules, HouseRules(GRACE), clock.now())

    def done(someone):
        work = {"person_id": someone.id, "supervisor_id": desk.id, "noted_by": desk.id}
        work |= {"id": "a" * 32, "submission_id": "a" * 32, "organisation_id": desk.organisation}
        work |= {"method": "tape_in", "service": "fit"}
        with sqlite_work.writing() as unit:
            keep_once(unit, work | {"on_day": clock.today(), "noted_at": clock.now()})

    return done


def test_the_tap_counts_once_and_can_be_taken_back(
    visit, desk, stylist, issue, sqlite_work, one_supervised
):
    beside = issue("Petra Vance")
    one_supervised(beside)
    page = visit(desk)
    html = page.get(question(stylist))
    submission = re.search(r'name="submission_id" value="(\w{32})"', html).group(1)
    sent = {"person": stylist.id, "method": "tape_in", "service": "fit", "supervisor": beside.id}
    sent |= {"on": clock.today().isoformat(), "submission_id": submission}
    html = page.post("/clearance/supervised", sent)
    assert "Counted" in html and "holds a completion record" in html and ">Cleared<" in html
    page.post("/clearance/supervised", sent)
    html = page.get(question(stylist))
    assert html.count("Take back<") == 1
    back = re.search(r'action="(/clearance/supervised/\w+/back)"', html).group(1)
    assert "Supervised only" in page.post(back)
    visit(a_person(sqlite_work, "salon_manager")).post(back, code=404)


def test_another_houses_people_are_not_there(visit, sqlite_work, desk, stylist):
    stranger = a_person(sqlite_work)
    page = visit(desk)
    page.get(question(stranger), 404)
    page.get(f"/clearance?person={stranger.id}", 404)
    page.get(f"/clearance?person={stranger.id}&method=glue", 404)
    sent = {"person": stranger.id, "method": "tape_in", "service": "fit", "supervisor": stylist.id}
    sent |= {"on": clock.today().isoformat(), "submission_id": "b" * 32}
    page.post("/clearance/supervised", sent, code=404)


@pytest.mark.parametrize(
    ("zone", "day"),
    [("", "Fri 27 Nov"), ("America/Los_Angeles", "Thu 26 Nov"), ("Pacific/Auckland", "Fri 27 Nov")],
)
def test_today_is_the_salon_s_own_day(visit, desk, stylist, sqlite_work, monkeypatch, zone, day):
    """At 1:00 UTC of the 27th it is still the 26th in California, standard time UTC-8."""
    with sqlite_work.writing(desk.viewer) as unit:
        keep_diary.keep(unit, None, zone, clock.now())
    monkeypatch.setattr(clock, "now", lambda: datetime(2026, 11, 27, 1, tzinfo=UTC))
    assert f"Today, {day} 2026" in visit(desk).get(f"/clearance?person={stylist.id}")


def test_the_desk_is_not_for_apprentices(visit, stylist):
    for address in ("/team", "/clearance", "/team/gaps", "/team/days", "/house-rules"):
        visit(stylist).get(address, 403)
    visit(stylist).post("/clearance/supervised", code=403)
    visit().get("/team")
