"""An assessment on its screens: begin, answer, come back, finish, read why."""

from datetime import timedelta

import pytest

from tests.support.admitted import opened
from tests.support.people import a_person
from tests.support.plain_bank import BELIEF, METHOD, REASON, TEMPTS, answer_to, plain_bank
from trainer import clock
from trainer.store import sittings

pytestmark = pytest.mark.usefixtures("plain_questions")

SECRETS = (REASON, BELIEF, TEMPTS, "explanation", "misconception", "Look at the card")
AS_SCRIPT = {"Accept": "application/json"}


@pytest.fixture
def someone(sqlite_work):
    return a_person(sqlite_work)


@pytest.fixture
def page(visit, someone):
    return visit(someone)


@pytest.fixture
def address(page, sqlite_work, someone):
    """An open sitting."""
    opened(sqlite_work, plain_bank(), someone, METHOD, now=clock.now())
    answer = page.client.post(f"/assessments/{METHOD}")
    assert answer.status_code == 303
    return answer.location


@pytest.fixture
def items(sqlite_work, someone, address):
    """The items of a part of the sitting, as kept."""

    def of(phase="main"):
        with sqlite_work.reading(someone.viewer) as unit:
            rows = sittings.items(unit, address.rpartition("/")[2])
        return [row for row in rows if row.phase == phase]

    return of


def save(page, address, row, right=True, **more):
    sent = answer_to(row.kept, right) | {"submission_id": [f"s{row.position}{right}"]}
    return page.client.post(f"{address}/{row.position}/answer", data=sent | more)


def later(monkeypatch, **more):
    now = clock.now() + timedelta(**more)
    monkeypatch.setattr("trainer.clock.now", lambda: now)


def test_the_start_says_what_is_asked(page):
    html = page.get(f"/assessments/{METHOD}")
    for said in ("40 questions in 60 minutes", "30 right", "4 fresh questions", "7 days"):
        assert said in html
    assert "Plain method" in page.get("/assessments")
    page.get("/assessments/nothing", code=404)


def test_no_question_gives_anything_away(page, address):
    for number in range(1, 41):
        html = page.get(f"{address}/{number}")
        for secret in SECRETS:
            assert secret not in html
    page.get(f"{address}/41", code=404)
    assert page.client.get(f"{address}/result").status_code == 404


def test_an_answer_is_kept_at_once_and_found_again(page, address, items):
    first = items()[0]
    answer = save(page, address, first, next="2")
    assert answer.location.endswith("/2")
    assert "Question 2 of 40" in page.get(address)
    assert "Saved. You can still change it" in page.get(f"{address}/1")


def test_after_the_last_question_comes_the_look_over_all(page, address, items):
    assert 'name="next" value="end"' in page.get(f"{address}/40")
    answer = save(page, address, items()[39], next="end")
    assert answer.location.endswith("/finish")
    assert "39 questions have no answer" in page.get(answer.location)


def test_a_script_is_told_without_a_mark(page, address, items):
    row = items()[0]
    sent = answer_to(row.kept)
    told = page.client.post(f"{address}/1/answer", data=sent, headers=AS_SCRIPT)
    assert told.json["kept"] is True
    assert set(told.json) == {"kept", "at"}
    bad = page.client.post(f"{address}/1/answer", data={"choice": ["z"]}, headers=AS_SCRIPT)
    assert bad.status_code == 400
    assert bad.json["what"]


def test_what_is_no_answer_comes_back_with_words(page, address, items):
    row = next(row for row in items() if row.kept["type"] == "number")
    sent = {"value": "many", "number": str(row.position)}
    html = page.post(f"{address}/{row.position}/answer", sent, code=400)
    assert 'role="alert"' in html and 'value="many"' in html


def test_a_mark_to_come_back_to(page, address):
    html = page.post(f"{address}/3/flag", {"flagged": "yes", "next": "3"})
    assert "Take the mark away" in html
    assert "You marked these" in page.get(f"{address}/finish")
    html = page.post(f"{address}/3/flag", {"flagged": "no", "next": "3"})
    assert "Mark to come back to" in html


def test_all_the_way_to_passed(page, address, items):
    assert "40 questions have no answer" in page.get(f"{address}/finish")
    for row in items():
        save(page, address, row)
    assert "All 40 questions are answered" in page.get(f"{address}/finish")
    html = page.post(f"{address}/finish")
    assert "Passed" in html and "40 of 40 right" in html
    assert "Those you got right</summary>" in html and html.count("/result/") == 40
    assert REASON in page.get(f"{address}/result/1")
    assert "Passed" in page.get(address)
    assert "passed" in page.get("/assessments")


def test_a_critical_error_brings_fresh_questions_and_then_a_referral(page, address, items):
    for row in items():
        save(page, address, row, right=row.kept["type"] != "choose_one")
    html = page.post(f"{address}/finish")
    assert "could hurt a client" in html and "fresh questions" in html
    for secret in SECRETS:
        assert secret not in html
    assert "Not passed yet" in page.post(f"{address}/finish")
    html = page.get(f"{address}/result")
    assert "could still hurt a client" in html
    assert html.index("✕") < html.index("Those you got right</summary>")
    assert html.count('class="band"') == 1 and "upright line: what is asked" in html
    assert "No answer" in page.get(f"{address}/result/41")
    assert "Open to you again from" in page.get("/assessments")


def test_when_time_is_over_it_ends_by_itself(page, address, items, monkeypatch):
    save(page, address, items()[0])
    later(monkeypatch, minutes=61)
    html = page.get(address)
    assert "Not passed yet" in html and "1 of 40 right" in html
    assert save(page, address, items()[1]).status_code in (302, 303)


def test_somebody_elses_sitting_is_not_there(page, address, visit, sqlite_work):
    other = visit(a_person(sqlite_work))
    other.get(address, code=404)
    other.post(f"{address}/finish", code=404)
    other.post(f"{address}/1/answer", {"choice": "a"}, code=404)


def test_it_opens_once(page, address):
    assert page.client.post(f"/assessments/{METHOD}").location == address
    assert "Go on" in page.get("/assessments")
