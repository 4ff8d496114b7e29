"""Taking somebody out, on screen: asked on one's own page, done by an administrator."""

import re
from datetime import timedelta

import pytest

from tests.support.page import words
from tests.support.people import a_person, an_organisation
from tests.use_cases.test_erase_person import WHY
from trainer import clock
from trainer.store import erasures, records
from trainer.use_cases.erase_person import erase_now
from trainer.use_cases.keep_photos import Album


@pytest.fixture
def place(sqlite_work):
    return an_organisation(sqlite_work)


@pytest.fixture
def chief(sqlite_work, place):
    return a_person(sqlite_work, "administrator", organisation=place, name="Ottoline Brask")


@pytest.fixture
def mina(sqlite_work, place):
    return a_person(sqlite_work, organisation=place, name="Mina Torvald")


def test_from_ones_own_page_to_the_last_one_that_names_them(visit, sqlite_work, chief, mina):
    me, boss = visit(mina), visit(chief)
    assert "Take me out of here" in me.get("/me")
    page = me.get("/me/leave")
    assert "Backups made before" in page and "without a name" in page
    assert "Nobody asks" in boss.get("/erasures")
    assert "An administrator will say when" in me.post("/me/leave")
    assert "Somebody asked to be taken out" in boss.get("/needs")
    (address,) = set(re.findall(r'href="(/erasures/[0-9a-f]{32})"', boss.get("/erasures")))
    assert "Entries of the log" in boss.get(address)
    assert "Choose one" in boss.post(address, {"why": WHY}, code=400)
    page = boss.post(address, {"days": "7", "why": WHY})
    assert "The button to do it shows here" in page and WHY in me.get("/me/leave")
    assert "Its day has not come" in boss.post(f"{address}/now", {"typed": mina.email}, code=400)
    boss.post(address, {"days": "0", "why": WHY})
    assert "not their address" in boss.post(f"{address}/now", {"typed": "x"}, code=400)
    page = boss.post(f"{address}/now", {"typed": mina.email})
    assert mina.email in page and mina.id in page and "Person no. 1" in page
    assert "Person no. 1" in boss.get("/erasures")
    boss.get(address, code=404)
    assert "Sign in" in me.get("/me/leave")
    assert mina.email not in boss.get("/people")


def test_called_back_with_the_reason_or_by_oneself(visit, chief, mina):
    me, boss = visit(mina), visit(chief)
    me.post("/me/leave")
    assert "Nothing was deleted" in me.post("/me/stay")
    me.post("/me/stay", code=404)
    me.post("/me/leave")
    (address,) = set(re.findall(r'href="(/erasures/[0-9a-f]{32})"', boss.get("/erasures")))
    assert "letters" in boss.post(f"{address}/back", {"ended_why": "no"}, code=400)
    assert "Called back" in boss.post(f"{address}/back", {"ended_why": WHY})
    page = me.get("/me/leave")
    assert WHY in page and "ask again" in page


def test_entered_for_somebody_who_asked_in_writing(visit, sqlite_work, chief, mina):
    boss = visit(chief)
    assert "They asked in writing" in boss.get(f"/people/{mina.id}")
    assert "because they asked in writing" in boss.post(f"/people/{mina.id}/erasure")
    assert "no day yet" in boss.get("/erasures")
    with sqlite_work.writing(chief.viewer) as unit:
        erasures.pending(unit, mina.id).asked_at = clock.now() - timedelta(days=40)
    assert "late" in boss.get("/erasures")


def test_the_last_administrator_and_strangers(visit, sqlite_work, chief, mina):
    assert "no other administrator" in visit(chief).post("/me/leave")
    visit(mina).get("/erasures", code=403)
    visit(mina).post("/me/leave")
    stranger = visit(a_person(sqlite_work, "administrator"))
    assert "Nobody asks" in stranger.get("/erasures")
    with sqlite_work.reading(mina.viewer) as unit:
        wish = erasures.latest(unit, mina.id).id
    stranger.get(f"/erasures/{wish}", code=404)
    stranger.post(f"/erasures/{wish}", {"days": "7", "why": WHY}, code=404)
    stranger.post(f"/people/{mina.id}/erasure", code=404)
    other = a_person(sqlite_work, "administrator", organisation=chief.organisation)
    visit(other).post("/me/leave")
    with sqlite_work.reading(other.viewer) as unit:
        own = erasures.latest(unit, other.id).id
    assert "This is about you" in visit(other).get(f"/erasures/{own}")
    visit(other).post(f"/erasures/{own}", {"days": "7", "why": WHY}, code=403)


def test_the_page_of_a_record_without_its_holder(visit, sqlite_work, settings, issue):
    noor = issue("Noor Haddad")
    with sqlite_work.writing() as unit:
        record = records.held(unit, noor.id)[0].id
        erase_now(unit, Album(settings.evidence), noor.email, noor.email, clock.now())
    page = visit().get(f"/check/{record}")
    assert "In force" in page and "asked to be taken out" in page and "Noor" not in words(page)
    for gone in (f"/records/{record}.json", f"/records/{record}/certificate.pdf"):
        visit().get(gone, code=404)
    assert visit().client.get(f"/issuers/{noor.organisation}/status").status_code == 200
    assert visit().client.get(f"/records/{record}/key.json").status_code == 200
