"""The apprentice's screens: practise, competency, history."""

import re
from datetime import date

import pytest

from tests.store.test_modules import values
from tests.support.page import words
from tests.support.people import a_person
from tests.support.plain_bank import BELIEF, METHOD, REASON, TEMPTS, answer_to
from trainer.store import modules, practice

pytestmark = pytest.mark.usefixtures("plain_questions")

TOPIC = "removal_safety"
SECRETS = (REASON, BELIEF, TEMPTS, "explanation", "misconception", "Look at the card")


@pytest.fixture
def someone(sqlite_work):
    return a_person(sqlite_work)


@pytest.fixture
def page(visit, someone):
    return visit(someone)


def opened(page, topic=TOPIC):
    """Open a scenario; its address and page."""
    answer = page.client.post(f"/practice/{METHOD}/{topic}")
    assert answer.status_code == 303
    return answer.location, page.get(answer.location)


def kept(work, someone, address):
    with work.reading(someone.viewer) as unit:
        return practice.shown(unit, address.rpartition("/")[2]).kept


def test_home_says_what_to_do_now_and_why(page):
    html = page.get("/practice")
    assert "Do now" in html
    assert "a mistake here can hurt someone" in html
    assert "Plain method" in html


def test_nothing_is_given_away_before_the_answer(page, sqlite_work, someone):
    for _ in range(10):
        address, html = opened(page)
        for secret in SECRETS:
            assert secret not in html
        item = kept(sqlite_work, someone, address)
        html = page.post(address, answer_to(item))
        assert REASON in html


def test_a_wrong_answer_gets_its_reason_and_what_to_do(page, sqlite_work, someone):
    while True:
        address, _ = opened(page)
        item = kept(sqlite_work, someone, address)
        html = page.post(address, answer_to(item, right=item["type"] != "choose_one"))
        if item["type"] == "choose_one":
            break
    assert "could hurt someone" in html
    for said in (REASON, TEMPTS, "Look at the card first.", "right 0", "Next scenario"):
        assert said in html


def test_a_module_tells_how_far_it_is_and_when_it_is_done(page, sqlite_work, someone):
    boss = a_person(sqlite_work, "instructor", organisation=someone.organisation)
    asked = values(boss, title="Out and in", methods=[METHOD], topics=[TOPIC, "timings"])
    with sqlite_work.writing(boss.viewer) as unit:
        module_id, _ = modules.keep_once(unit, asked)
        modules.assign(unit, module_id, (), [someone.id])
    told = []
    for _ in range(3):
        address, _ = opened(page)
        told.append(page.post(address, answer_to(kept(sqlite_work, someone, address))))
    assert "1 of 2" in told[0] and "What to do next" not in told[0]
    assert "all 2 answered, 2 of them right" in told[1] and "What to do next" in told[1]
    assert "Out and in" not in told[2]
    onward = f'action="/practice/module/{module_id}"'
    assert onward in told[0] and onward not in told[1]
    assert page.client.post(f"/practice/module/{module_id}").location == "/practice"


def test_another_module_is_begun_from_the_first_page(page, sqlite_work, someone):
    boss = a_person(sqlite_work, "instructor", organisation=someone.organisation)
    for day, title in ((20, "Later"), (9, "Soon")):
        asked = values(boss, title=title, methods=[METHOD], due_on=date(2026, 3, day))
        with sqlite_work.writing(boss.viewer) as unit:
            module_id, _ = modules.keep_once(unit, asked)
            modules.assign(unit, module_id, (), [someone.id])
    addresses = re.findall(r'action="(/practice/module/\w+)"', page.get("/practice"))
    assert len(addresses) == 1
    answer = page.client.post(addresses[0])
    assert answer.status_code == 303 and answer.location.startswith("/practice/item/")
    assert page.client.post("/practice/module/nothing").location == "/practice"


def test_sending_twice_or_changing_ones_mind_keeps_the_first(page, sqlite_work, someone):
    address, _ = opened(page)
    item = kept(sqlite_work, someone, address)
    first = page.post(address, answer_to(item, right=False))
    again = page.post(address, answer_to(item, right=True))
    assert words(first) == words(again) == words(page.get(address))


def test_what_is_no_answer_comes_back_with_words(page, sqlite_work, someone):
    seen = set()
    while len(seen) < 4:
        address, _ = opened(page)
        item = kept(sqlite_work, someone, address)
        if item["type"] not in seen | {"choose_all"}:
            seen.add(item["type"])
            html = page.post(address, {"value": "many", "date": "soon"}, code=400)
            assert 'role="alert"' in html
            if item["type"] == "number":
                assert 'value="many"' in html
        page.post(address, answer_to(item))


def test_others_cannot_open_it(page, visit, sqlite_work):
    address, _ = opened(page)
    visit(a_person(sqlite_work)).get(address, code=404)
    visit(a_person(sqlite_work, "instructor")).get("/practice", code=403)
    assert "/sign-in" in visit().client.get(address).location


def test_unknown_topics_are_not_there(page):
    page.get(f"/practice/{METHOD}/astrology", code=404)
    page.get("/practice/nothing/timings", code=404)
    page.post(f"/practice/{METHOD}/astrology", code=404)


def test_history_and_competency_speak_in_words(page, sqlite_work, someone):
    for _ in range(25):
        address, _ = opened(page)
        page.post(address, answer_to(kept(sqlite_work, someone, address)))
    assert "Older answers" in page.get("/practice/history")
    html = page.get("/competency")
    assert "At the standard" in html
    assert not re.search(r"\d\.\d|theta|ability", words(html))
    page.get(f"/practice/{METHOD}/{TOPIC}")


def test_what_went_wrong_comes_back_and_the_page_says_why(page, sqlite_work, someone):
    said = "Once more, because this went wrong before."
    places = []
    for number in range(8):
        address, html = opened(page)
        if said in html:
            places.append(number)
        sent = answer_to(kept(sqlite_work, someone, address), right=number > 0)
        page.client.post(address, data=sent)
    assert len(places) == 1 and 4 <= places[0] <= 7
