"""Appeals and complaints on screen."""

import re
from datetime import timedelta

from tests.support.people import NOW, PASSWORD, a_person, an_organisation
from tests.support.practised import a_sitting
from tests.support.records import Earned, a_record
from tests.use_cases.test_appeal import FOUND, WORDS, send
from trainer import clock
from trainer.store import appeals
from trainer.use_cases.certify import Issuing
from trainer.use_cases.withdraw import suspend


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


def test_whoever_upholds_it_chooses_what_follows_on_the_same_page(visit, sqlite_work, bank):
    place = an_organisation(sqlite_work)
    chief = a_person(sqlite_work, "administrator", organisation=place)
    mina = a_person(sqlite_work, organisation=place)
    with sqlite_work.writing(mina.viewer) as unit:
        row = a_sitting(mina, "tape_in", False, NOW - timedelta(hours=1))
        unit.session.add(row)
        unit.session.flush()
        sitting = row.id
    sent = send(sqlite_work, bank, mina, about="assessment", method="tape_in")
    address, decider = f"/appeals/{sent}", visit(chief)
    assert "is set aside: it counts for nothing" in decider.get(address)
    said = {"upheld": "yes", "words": FOUND}
    assert "Choose again" in decider.post(address, said, code=400)
    assert "Answered" in decider.post(address, said | {"remedy": f"set_aside:{sitting}"})
    assert "The assessment is set aside" in visit(mina).get(address)
    assert "set aside" in visit(mina).get(f"/sittings/{sitting}/result")


def test_a_record_holds_again_only_with_ones_password(
    visit, sqlite_work, bank, monkeypatch, settings
):
    earned = Earned({})
    earned.put_in_place(monkeypatch)
    issuing = Issuing(settings.keys, "http://localhost")
    chief = a_person(sqlite_work, "administrator")
    boss = a_person(sqlite_work, "instructor", organisation=chief.organisation)
    mina = a_person(sqlite_work, organisation=chief.organisation)
    number = a_record(sqlite_work, bank, earned, issuing, mina, now=clock.now())
    with sqlite_work.writing(boss.viewer) as unit:
        suspend(unit, number, "The sheet says forced.", clock.now())
    sent = send(sqlite_work, bank, mina, about="record", method="tape_in")
    decider, address = visit(chief), f"/appeals/{sent}"
    assert "holds again" in decider.get(address)
    said = {"upheld": "yes", "words": FOUND, "remedy": f"reinstate:{number}"}
    assert "not your password" in decider.post(address, said | {"password": "x"}, code=400)
    assert "Answered" in decider.post(address, said | {"password": PASSWORD})
    assert "a new record issued" in visit(mina).get(address)
