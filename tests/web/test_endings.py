"""What ends soon, calendars, refresh sets, other evidence and new names, on screen."""

import re
from datetime import timedelta

import pytest
from icalendar import Calendar

from tests.support.admitted import agreed
from tests.support.people import PASSWORD, a_person, an_organisation
from tests.support.practised import a_sitting
from tests.support.records import Earned, a_record, evidence
from trainer import clock
from trainer.use_cases import refresh_record
from trainer.use_cases.certify import Issuing

WHY = "Watched at her last academy on 2 February; signed sheet seen."


@pytest.fixture
def place(sqlite_work):
    return an_organisation(sqlite_work, "Quayside Academy")


@pytest.fixture
def holder(sqlite_work, place):
    return a_person(sqlite_work, organisation=place, name="Ines Dorval")


@pytest.fixture
def boss(sqlite_work, place):
    return a_person(sqlite_work, "instructor", organisation=place, name="Petra Lindqvist")


@pytest.fixture
def chief(sqlite_work, place):
    return a_person(sqlite_work, "administrator", organisation=place)


@pytest.fixture
def ending(sqlite_work, bank, monkeypatch, settings, holder):
    """A record that ends in about 20 days."""
    earned = Earned({})
    earned.put_in_place(monkeypatch)
    monkeypatch.setattr(refresh_record, "gather", earned.gather)
    issuing = Issuing(settings.keys, "http://localhost")
    began = clock.now() - timedelta(days=345)
    before = began.date() - timedelta(days=9)
    shown = evidence(passed_on=before, observed_on=before)
    earned.known[holder.id, "tape_in"] = shown
    return a_record(sqlite_work, bank, earned, issuing, holder, now=began)


def test_nothing_ends_where_nothing_was_issued(visit, holder, boss):
    assert "Nothing ends within 60 days" in visit(holder).get("/endings/mine")
    assert "Nothing ends soon" in visit(boss).get("/endings")
    visit(holder).get("/endings", 403)


@pytest.mark.usefixtures("ending")
def test_learner_instructor_and_salon_see_what_ends_and_what_to_do(
    visit, sqlite_work, place, holder, boss
):
    mine = visit(holder).get("/endings/mine")
    assert "days left" in mine and "needed again" in mine and "Renew by a refresh set" in mine
    desk = a_person(sqlite_work, "salon_manager", organisation=place)
    for someone in (boss, desk):
        page = visit(someone).get("/endings")
        assert "Ines Dorval" in page and "A refresh set or the full assessment" in page
    assert "needed again" in visit(boss).get(f"/cohort/{holder.id}")
    today = clock.today().isoformat()
    asked = f"/clearance?person={holder.id}&method=tape_in&service=fit&on={today}"
    assert "What a new record takes" in visit(desk).get(asked)
    assert "To renew your record" in visit(holder).get("/records")


@pytest.mark.usefixtures("ending")
def test_a_calendar_is_made_read_without_signing_in_and_ended(visit, client, holder, boss):
    for someone, page in ((holder, "/endings/mine"), (boss, "/endings")):
        html = visit(someone).post(f"{page}/calendar")
        address = re.search(r"http://localhost(/calendar/[\w-]+\.ics)", html).group(1)
        assert address not in visit(someone).get(page)
        answer = client.get(address)
        assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
        assert answer.headers["Cache-Control"].startswith("private")
        assert "Ines" not in answer.text and "Set-Cookie" not in answer.headers
        (event,) = Calendar.from_ical(answer.data).walk("VEVENT")
        assert str(event["url"]) == f"http://localhost{page}"
        again = client.get(address, headers={"If-None-Match": answer.headers["ETag"]})
        assert again.status_code == 304
        ending = re.search(rf'action="({page}/calendar/\w+/end)"', html).group(1)
        assert "gives nothing any more" in visit(someone).post(ending)
        assert client.get(address).status_code == 404


@pytest.mark.usefixtures("ending")
def test_a_refresh_set_is_read_asked_for_and_begun(visit, sqlite_work, bank, holder, boss):
    page = visit(holder)
    html = page.get("/endings/mine/tape_in/refresh")
    assert "20 questions in 30 minutes, in place of 40" in html and "Ask to sit" not in html
    agreed(sqlite_work, bank, holder)
    assert "Ask to sit" in page.get("/endings/mine/tape_in/refresh")
    html = page.post("/assessments/tape_in/refresh/ask")
    assert "You have asked to sit" in html and "Refresh" in html
    desk = visit(boss)
    opening = re.search(r"/admissions/\w{32}", desk.get("/admissions")).group()
    sent = {"identity": "passport", "extra_percent": "0", "pauses": "0", "pause_minutes": "5"}
    assert "Open for Ines Dorval" in desk.post(opening, sent)
    assert "Begin now" in page.get("/endings/mine/tape_in/refresh")
    assert "Question 1 of 20" in page.post("/assessments/tape_in")
    assert "The clock is running" in page.get("/endings/mine/tape_in/refresh")
    assert "no record to refresh" in page.get("/endings/mine/clip_in/refresh")
    assert "Not asked" in page.post("/assessments/clip_in/refresh/ask")
    page.get("/endings/mine/glue_gun/refresh", 404)


def test_other_evidence_is_asked_by_one_and_decided_by_another(
    visit, sqlite_work, holder, boss, chief
):
    with sqlite_work.writing() as unit:
        unit.session.add(a_sitting(holder, "tape_in", True))
    asking = f"/other-evidence/ask?person={holder.id}&method=tape_in"
    sent = {"decision": "yes", "reason": WHY, "password": PASSWORD}
    page = visit(boss)
    assert "Nothing waits" in page.get("/other-evidence")
    assert 'role="alert"' in page.post(asking, {"service": "fit", "reason": "short"}, code=400)
    html = page.post(asking, {"service": "fit", "reason": WHY})
    request = re.search(r'href="(/other-evidence/\w{32})"', html).group(1)
    assert "asked already" in page.post(asking, {"service": "fit", "reason": WHY}, code=400)
    assert "You asked for this" in page.get(request)
    page.post(request, sent, code=403)
    other = visit(chief)
    assert WHY in other.get(request)
    for change in ({"reason": ""}, {"decision": ""}, {"password": "not it"}):
        assert 'role="alert"' in other.post(request, sent | change, code=400)
    assert "The decision is kept" in other.post(request, sent)
    other.post(request, sent, code=400)
    assert "counts" in page.get(request)
    visit(holder).get("/other-evidence", 403)
    visit(a_person(sqlite_work, "instructor")).get(request, 404)
    page.get(f"/other-evidence/ask?person={holder.id}&method=glue_gun", 404)


def test_a_new_name_and_the_record_under_it(visit, holder, boss, chief, ending):
    visit(boss).post(f"/people/{holder.id}/name", {"name": "Ines Abara"}, code=403)
    page = visit(chief)
    assert "Write the new name" in page.post(f"/people/{holder.id}/name", {"name": ""})
    assert "The name is changed" in page.post(f"/people/{holder.id}/name", {"name": "Ines Abara"})
    assert "other name" in page.get("/records/issued")
    address = f"/records/{ending}/state"
    assert "issued under another name" in page.get(address)
    why = "Married in May; certificate seen."
    sent = {"decision": "reissued", "reason": why, "password": PASSWORD}
    assert "The decision is recorded" in page.post(address, sent)
    assert "Replaced" in visit().get(f"/check/{ending}")
    assert "replaced by a new one" in page.get(address)
    assert visit(holder).get("/records").count("in force") >= 1
