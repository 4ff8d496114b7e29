"""Let in on its screens: the agreement, asking, the instructor's desk, the questions to try."""

import re

import pytest

from tests.support.admitted import a_module, asked, opened, ready
from tests.support.people import PASSWORD, a_person
from tests.support.plain_bank import METHOD, plain_bank
from tests.support.practised import a_sitting
from trainer import clock
from trainer.store import admissions
from trainer.use_cases import keep_people

pytestmark = pytest.mark.usefixtures("plain_questions")

START = f"/assessments/{METHOD}"
OPEN = {"identity": "known", "extra_percent": "50", "pauses": "2", "pause_minutes": "10"}


@pytest.fixture
def learner(sqlite_work):
    return a_person(sqlite_work, name="Nell Orchard")


@pytest.fixture
def boss(sqlite_work, learner):
    return a_person(sqlite_work, "instructor", organisation=learner.organisation, name="Ada Thorn")


def first_one(desk):
    return re.search(r"/admissions/\w{32}", desk.get("/admissions")).group()


def test_from_the_agreement_to_the_first_question(visit, sqlite_work, learner, boss):
    page, desk = visit(learner), visit(boss)
    a_module(sqlite_work, learner, METHOD, now=clock.now())
    html = page.get(START)
    assert "Module done" in html and "Read and sign it" in html and "Ask to sit" not in html
    signing = f"/assessments/agreement?method={METHOD}"
    text = re.search(r'name="version"[^>]*value="(\w+)"', page.get(signing)).group(1)
    assert 'role="alert"' in page.post(signing, {"version": text, "agreed": "y"}, code=400)
    wrong = {"version": text, "agreed": "y", "password": "not mine at all"}
    assert 'role="alert"' in page.post(signing, wrong, code=400)
    assert "Ask to sit" in page.post(signing, wrong | {"password": PASSWORD})
    assert "You signed this" in page.get(signing)
    html = page.post(f"{START}/full/ask", {"needs": "I read slowly"})
    assert "You have asked to sit" in html
    assert page.client.get(f"{START}/full/state").json == {"state": "waiting"}
    assert "Nobody has opened it for you yet" in page.post(START)
    assert "1 person waits" in desk.get("/cohort")
    opening = first_one(desk)
    assert "I read slowly" in desk.get(opening)
    assert "or that you know them" in desk.post(opening, OPEN | {"identity": ""}, code=400)
    assert "Open for Nell Orchard" in desk.post(opening, OPEN | {"larger_type": "y"})
    assert "It is open since" in desk.get(opening)
    html = page.get(START)
    assert "Ada Thorn opened it" in html and "90 minutes" in html
    assert "2 pauses of up to 10 minutes" in html and "Larger type" in html
    assert "open for you" in page.get("/assessments")
    html = page.post(START)
    assert "Question 1 of 40" in html and "class=larger" in html and "Pause" in html


def test_a_pause_shows_no_question_and_comes_back_to_it(visit, sqlite_work, learner, boss):
    page, desk = visit(learner), visit(boss)
    ready(sqlite_work, plain_bank(), learner, METHOD, clock.now())
    asked(sqlite_work, plain_bank(), learner, METHOD, now=clock.now())
    desk.post(first_one(desk), OPEN)
    address = page.client.post(START).location
    stem = re.search(r'id="stem">([^<]+)<', page.get(f"{address}/7")).group(1)
    assert "Question 7 of 40" in page.get(address)
    html = page.post(f"{address}/7/pause", {"number": "7"})
    assert "The clock stands still" in html and stem not in html
    for where in (address, f"{address}/7", f"{address}/finish", f"{address}/8"):
        html = page.get(where)
        assert "You are on a pause" in html and stem not in html
    html = page.post(f"{address}/go-on")
    assert "Question 7 of 40" in html and stem in html and "1 left" in html
    page.post(f"{address}/9/pause")
    page.post(f"{address}/go-on")
    assert "no pause is left" in page.post(f"{address}/9/pause", code=400).lower()


def test_a_question_to_try_of_each_kind_with_its_reason(visit, learner):
    page = visit(learner)
    where = f"{START}/full/try"
    for number, sent in enumerate(
        ({"choice": "a"}, {"choice": ["a", "b"]}, {"value": "60"}, {f"place_{x}": "1" for x in "a"})
    ):
        html = page.get(f"{where}/{number + 1}")
        assert f"Warm-up question {number + 1} of 4" in html and "With the keyboard" in html
        code = 400 if number == 3 else 200
        html = page.post(f"{where}/{number + 1}", sent, code=code)
        assert ("Why" in html) is (code == 200)
    assert "Right" in page.post(f"{where}/3", {"value": "60"})
    page.get(f"{where}/5", 404)
    page.get(f"{START}/half/try/1", 404)
    page.get("/assessments/nothing/full/try/1", 404)


def test_the_desk_is_for_those_who_teach_here(visit, sqlite_work, learner, boss):
    ready(sqlite_work, plain_bank(), learner, METHOD, clock.now())
    asked(sqlite_work, plain_bank(), learner, METHOD, now=clock.now())
    opening = first_one(visit(boss))
    visit(learner).get("/admissions", 403)
    visit(learner).get(opening, 403)
    stranger = visit(a_person(sqlite_work, "instructor"))
    stranger.get(opening, 404)
    stranger.post(opening, OPEN, code=404)
    stranger.post(f"{opening}/decline", {"why": "Not in my house."}, code=404)
    assert "Nell Orchard" not in stranger.get("/admissions")


def test_declined_with_a_reason_that_they_read(visit, sqlite_work, learner, boss):
    ready(sqlite_work, plain_bank(), learner, METHOD, clock.now())
    asked(sqlite_work, plain_bank(), learner, METHOD, now=clock.now())
    desk, page = visit(boss), visit(learner)
    opening = first_one(desk)
    assert 'role="alert"' not in desk.get(opening)
    assert "letters" in desk.post(f"{opening}/decline", {"why": "no"}, code=400)
    assert "reads why" in desk.post(f"{opening}/decline", {"why": "The room is taken."})
    assert "They do not wait any more" in desk.get(opening)
    assert "The room is taken." in page.get(START)
    assert "Taken back" in page.post(f"{START}/full/take-back")


def test_who_opens_is_the_houses_rule(visit, sqlite_work, learner):
    both = ("administrator", "instructor")
    chief = a_person(sqlite_work, *both, organisation=learner.organisation)
    html = visit(chief).post("/admissions/invigilated", {"wanted": "no"})
    assert "counts for no record" in html
    page = visit(learner)
    ready(sqlite_work, plain_bank(), learner, METHOD, clock.now())
    assert "Nobody invigilates" in page.get(START)
    assert "Begin now" in page.post(f"{START}/full/ask")
    assert "Question 1 of 40" in page.post(START)
    page.post("/admissions/invigilated", {"wanted": "yes"}, code=403)


def test_what_is_granted_beforehand_is_offered_when_it_is_opened(visit, sqlite_work, learner, boss):
    where, desk = f"/people/{learner.id}/extra-time", visit(boss)
    sent = {"extra_percent": "25", "pauses": "1", "pause_minutes": "15", "larger_type": "y"}
    assert "Kept" in desk.post(where, sent)
    desk.post(where, sent | {"extra_percent": "75"}, code=400)
    visit(a_person(sqlite_work, "instructor")).get(where, code=404)
    visit(learner).get(where, code=403)
    assert "40 questions in 75 minutes" in visit(learner).get(START)
    ready(sqlite_work, plain_bank(), learner, METHOD, clock.now())
    asked(sqlite_work, plain_bank(), learner, METHOD, now=clock.now())
    html = desk.get(first_one(desk))
    assert re.search(r'value="25" checked', html) and re.search(r'selected[^>]*value="15"', html)


def test_another_instructor_opens_for_an_instructor_who_sits(visit, sqlite_work, learner):
    both = a_person(sqlite_work, "apprentice", "instructor", organisation=learner.organisation)
    ready(sqlite_work, plain_bank(), both, METHOD, clock.now())
    admission_id = asked(sqlite_work, plain_bank(), both, METHOD, now=clock.now())
    page = visit(both)
    assert "Another instructor must open yours" in page.get("/admissions")
    assert "cannot open your own" in page.get(f"/admissions/{admission_id}")
    page.post(f"/admissions/{admission_id}", OPEN, code=400)
    with sqlite_work.reading(both.viewer) as unit:
        assert admissions.latest(unit, both.id, METHOD).state == "waiting"


def test_in_a_house_of_two_the_form_is_drawn_only_at_the_beginning(visit, sqlite_work, learner):
    opened(sqlite_work, plain_bank(), learner, METHOD, now=clock.now())
    with sqlite_work.reading(learner.viewer) as unit:
        assert keep_people.people.person(unit, learner.id)
        assert admissions.latest(unit, learner.id, METHOD).sitting_id is None
    page = visit(learner)
    page.post(START)
    with sqlite_work.reading(learner.viewer) as unit:
        assert admissions.latest(unit, learner.id, METHOD).sitting_id


def test_a_person_reviews_a_result_and_sets_it_aside(visit, sqlite_work, learner, boss):
    chief = a_person(sqlite_work, "administrator", "instructor", organisation=learner.organisation)
    with sqlite_work.writing(learner.viewer) as unit:
        row = a_sitting(learner, METHOD, False, clock.now())
        row.opened_by = boss.id
        unit.session.add(row)
    where = f"/sittings/{row.id}/review"
    assert where in visit(chief).get(f"/cohort/{learner.id}")
    assert "somebody who did neither must decide" in visit(boss).get(where)
    visit(boss).post(where, {"reason": "I would like it otherwise."}, code=403)
    page = visit(learner)
    html = page.get(f"/sittings/{row.id}/result")
    assert "ask for a person to review the result" in html and "/appeals/new?about=asse" in html
    page.get(where, 403)
    visit(a_person(sqlite_work, "administrator")).get(where, 404)
    assert 'role="alert"' in visit(chief).post(where, {"reason": "no"}, code=400)
    assert "Set aside" in visit(chief).post(where, {"reason": "The fire alarm rang in the middle."})
    assert "The fire alarm rang" in page.get(f"/sittings/{row.id}/result")
    assert "set aside" in page.get("/assessments")
