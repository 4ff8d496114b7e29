"""Offers on screen: yes and no, signed in and by the link; nothing tells who has an account."""

import re

import pytest

from tests.conftest import Visit
from tests.support.people import PASSWORD, a_person, an_organisation
from trainer.store import people
from trainer.use_cases.send_offers import send_offers as real


@pytest.fixture
def boss(sqlite_work):
    place = an_organisation(sqlite_work, "Juniper Street", "salon")
    return a_person(sqlite_work, "administrator", organisation=place)


def sent(email):
    return {"name": "Whoever", "email": email, "roles": ["apprentice"]}


def link_of(page):
    return re.search(r"http://localhost(/join/[\w-]+)", page).group(1)


def answer_of(page, word):
    return re.search(rf'action="(/offers/\w+/{word})"', page).group(1)


def test_a_person_of_another_house_says_yes(visit, sqlite_work, boss):
    fen = a_person(sqlite_work, name="Fen Marsh")
    link = link_of(visit(boss).post("/people/invite", sent(fen.email)))
    here = visit(fen)
    assert "Juniper Street asks you to join" in here.get("/needs")
    assert "asks you to join" in here.get("/me")
    page = here.get(link)
    assert "Who asks you to join" in page and "sees your name" in page
    path = answer_of(page, "yes")
    visit(a_person(sqlite_work)).post(path)
    assert "Fen Marsh" not in visit(boss).get("/people")
    assert "You belong here from now on" in here.post(path)
    assert "Juniper Street" in here.get("/me")
    assert "Fen Marsh" in visit(boss).get("/people")
    assert "answered or withdrawn already" in here.post(path)


def test_somebody_who_belongs_nowhere_finds_it_and_says_no(visit, sqlite_work, boss):
    fen = a_person(sqlite_work, name="Fen Marsh")
    visit(a_person(sqlite_work, "administrator", organisation=fen.organisation)).post(
        f"/people/{fen.id}/leave"
    )
    visit(boss).post("/people/invite", sent(fen.email))
    here = visit(fen)
    assert "asks you to join" in here.get("/me")
    path = answer_of(here.get("/offers"), "no")
    assert "Nobody asks you now" in here.post(path)
    listed = visit(boss).get("/people")
    assert "said no" in listed and "Fen Marsh" not in listed


def plain(page, *words):
    """A page without tokens, days and what was typed."""
    for word in words:
        page = page.replace(word, "X")
    page = re.sub(r'name="csrf_token"[^>]*', "", page)
    page = re.sub(r"[A-Z][a-z]{2} \d+ [A-Z][a-z]{2} \d{4}", "DAY", page)
    return re.sub(r"/join/[\w-]+|/people/asked/\w+", "Y", page)


def test_the_one_who_asks_sees_the_same_whoever_has_the_address(visit, sqlite_work, boss):
    """The answer, the list and the page behind the link."""
    fen = a_person(sqlite_work, name="Fen Marsh")
    here, seen = visit(boss), []
    for email in (fen.email, "nobody@example.org"):
        page = here.post("/people/invite", sent(email))
        link, listed = link_of(page), here.get("/people")
        seen.append([plain(one, email) for one in (page, listed, here.get(link))])
        seen[-1].append(plain(visit().get(link), email))
        here.post(re.search(r'action="(/people/asked/\w+/withdraw)"', listed).group(1))
    assert seen[0] == seen[1]


def test_with_a_password_of_their_own_nobody_gets_into_an_account_that_is_there(
    visit, sqlite_work, boss
):
    fen = a_person(sqlite_work, name="Fen Marsh")
    link = link_of(visit(boss).post("/people/invite", sent(fen.email)))
    page = visit().post(link, {"password": "another kettle under nine stairs"}, code=400)
    assert "Sign in, then say yes. If you have no password yet" in page
    stranger = visit()
    stranger.post("/sign-in", {"email": fen.email, "password": PASSWORD})
    assert "Who asks you to join" in stranger.get("/offers")


def test_signed_in_as_somebody_else_the_link_does_nothing(visit, sqlite_work, boss):
    link = link_of(visit(boss).post("/people/invite", sent("nell@example.org")))
    other = visit(a_person(sqlite_work))
    assert "with another address" in other.post(link, {"password": PASSWORD})
    with sqlite_work.reading() as unit:
        assert people.by_email(unit, "nell@example.org") is None


def test_where_letters_are_sent_the_link_goes_to_its_reader_alone(
    app_with, sqlite_work, boss, letterbox, monkeypatch
):
    sending = []
    monkeypatch.setattr(
        "trainer.web.asked.send_offers", lambda *given: sending.append(real(*given))
    )
    app = app_with(smtp_url=letterbox.url, base_url="https://x.example")
    page = Visit(app.test_client(), boss).post("/people/invite", sent("nell@example.org"))
    assert "A letter is on its way" in page and "/join/" not in page
    sending[0].join()
    (letter,) = letterbox.letters
    assert letter["To"] == "nell@example.org"
    path = re.search(r"https://x\.example(/join/[\w-]+)", letter.get_content()).group(1)
    assert "Juniper Street" in Visit(app.test_client()).get(path)


def test_the_house_sees_what_did_not_go_and_sends_it_again(
    app_with, sqlite_work, boss, letterbox, monkeypatch
):
    sending = []
    monkeypatch.setattr(
        "trainer.web.asked.send_offers", lambda *given: sending.append(real(*given))
    )
    here = Visit(app_with(smtp_url=letterbox.url, base_url="https://x.example").test_client(), boss)
    letterbox.refused.add("nell@example.org")
    here.post("/people/invite", sent("nell@example.org"))
    sending.pop().join()
    listed = here.get("/people")
    assert "1 letter did not go" in listed and "the letter did not go" in listed
    letterbox.refused.clear()
    page = here.post(re.search(r'action="(/people/asked/again)"', listed).group(1))
    assert "Letters are on their way to 1 address" in page and "/join/" not in page
    sending.pop().join()
    assert [letter["To"] for letter in letterbox.letters] == ["nell@example.org"]
    assert "did not go" not in here.get("/people")
    assert "Every letter has gone" in here.post("/people/asked/again")
