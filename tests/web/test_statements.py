"""Learning events on screen: the file, the store, and who may touch them."""

import json

import pytest

from tests.support import practised
from tests.support.page import words
from tests.support.people import a_person
from tests.support.plain_bank import plain_bank
from tests.support.statements_judge import faults_of_all
from trainer import clock

STORE = {"address": "https://store.example/xapi", "name": "us", "secret": "hush"}


@pytest.fixture
def boss(sqlite_work):
    return a_person(sqlite_work, "administrator")


def test_the_file_holds_what_happened_on_its_days(visit, sqlite_work, boss):
    learner = a_person(sqlite_work, organisation=boss.organisation)
    for _ in range(2):
        practised.answer(sqlite_work, plain_bank(), learner, right=True, at=clock.now())
    today = clock.today()
    asked = f"/programs/statements/file?since={today}&until={today}"
    found = json.loads(visit(boss).get(asked))
    assert len(found) == 2 and faults_of_all(found) == []
    assert json.loads(visit(boss).get(asked)) == found
    assert json.loads(visit(a_person(sqlite_work, "administrator")).get(asked)) == []


@pytest.mark.parametrize("days", ["", "since=2026-03-02&until=2026-03-01", "since=x&until=y"])
def test_days_that_cannot_be_are_asked_for_again(visit, boss, days):
    assert 'class="error"' in visit(boss).get(f"/programs/statements/file?{days}", 400)


def test_a_store_is_named_and_stopped_and_its_secret_never_shown(visit, boss, settings):
    desk = visit(boss)
    assert "Nothing is sent." in desk.get("/programs/statements")
    page = desk.post("/programs/statements", STORE)
    assert "Waiting: 0" in page and '"hush"' not in page and "hush" not in words(page)
    (kept,) = settings.keys.glob("*.statements")
    assert kept.read_text() == "hush" and kept.stat().st_mode & 0o077 == 0
    assert "Nothing is sent." in desk.post("/programs/statements/stop")


def test_an_address_that_is_not_secret_is_refused_at_its_field(visit, boss):
    wrong = STORE | {"address": "http://store.example/xapi"}
    page = visit(boss).post("/programs/statements", wrong, 400)
    assert "Give an address with https" in page


def test_an_address_that_goes_on_after_a_question_mark_is_refused_at_its_field(visit, boss):
    wrong = STORE | {"address": "https://store.example/xapi?key=hush"}
    page = visit(boss).post("/programs/statements", wrong, 400)
    assert "There is a &#39;?&#39; in the address. Leave it out, and what follows it." in page
    assert "Nothing is sent." in visit(boss).get("/programs/statements")


def test_it_is_for_administrators(visit, sqlite_work):
    other = visit(a_person(sqlite_work, "instructor", "salon_manager"))
    other.get("/programs/statements", 403)
    other.get("/programs/statements/file?since=2026-03-01&until=2026-03-02", 403)
