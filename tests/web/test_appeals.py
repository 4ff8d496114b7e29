"""Appeals and complaints on screen."""

import re
from datetime import timedelta

from tests.support.people import a_person, an_organisation
from tests.use_cases.test_appeal import FOUND, WORDS, send
from trainer import clock
from trainer.store import appeals


def test_from_the_appeal_to_its_answer(visit, sqlite_work):
    place = an_organisation(sqlite_work)
    chief = a_person(sqlite_work, "administrator", "instructor", organisation=place, name="Otti")
    boss = a_person(sqlite_work, "instructor", organisation=place, name="Ines")
    mine = visit(a_person(sqlite_work, organisation=place, name="Mina"))
    assert "You have sent none" in mine.get("/appeals")
    form = mine.get("/appeals/new?method=tape_in&about=assessment")
    assert 'value="assessment" checked' in form and "selected" in form
    submission = form.partition('name="submission_id"')[2].partition('value="')[2].partition('"')[0]
    given = {"submission_id": submission, "about": "sign_off", "words": "no", "method": ""}
    assert "Write 20 to 4000 letters" in mine.post("/appeals/new", given, code=400)
    given |= {"words": WORDS, "concerns": [boss.id]}
    html = mine.post("/appeals/new", given)
    assert "Sent. You can follow it here." in html and "Nobody has taken it up yet" in html

    assert "1 appeal or complaint waits" in visit(boss).get("/cohort")
    (address,) = set(re.findall(r'href="(/appeals/[0-9a-f]{32})"', visit(boss).get("/appeals")))
    assert "This names you" in visit(boss).get(address)
    decider = visit(chief)
    assert "You look into this one" in decider.post(f"{address}/take-up")
    assert "Choose one" in decider.post(address, {"words": FOUND}, code=400)
    assert "Answered." in decider.post(address, {"upheld": "yes", "words": FOUND})
    html = mine.get(address)
    assert "Upheld" in html and FOUND in html and "Otti" in html
    assert "answered already" in decider.post(address, {"upheld": "no", "words": FOUND}, code=400)
    visit(a_person(sqlite_work)).get(address, code=404)


def test_a_late_one_and_a_house_without_anybody_free_say_so(visit, sqlite_work, bank):
    place = an_organisation(sqlite_work)
    boss = a_person(sqlite_work, "instructor", organisation=place)
    mina = a_person(sqlite_work, organisation=place)
    sent = send(sqlite_work, bank, mina, concerns=(boss.id,))
    with sqlite_work.writing(mina.viewer) as unit:
        appeals.appeal(unit, sent).due_on = clock.today() - timedelta(days=1)
    assert "late" in visit(mina).get(f"/appeals/{sent}")
    assert "Nobody here is free to answer" in visit(boss).get(f"/appeals/{sent}")
    assert "late" in visit(boss).get("/appeals")


def test_help_tells_strangers_and_members_where_to_appeal(visit, sqlite_work):
    assert "Sign in, come back here" in visit().get("/help")
    assert 'href="/appeals"' in visit(a_person(sqlite_work)).get("/help")
