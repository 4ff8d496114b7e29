"""Contesting a question on screen, and answering it."""

import pytest

from tests.cohort.learners import Learner
from tests.cohort.path import Walk, sit
from tests.support.people import a_person, an_organisation
from tests.use_cases.test_contest_question import COMMENT, WHY
from trainer import clock


@pytest.fixture
def place(sqlite_work):
    return an_organisation(sqlite_work)


@pytest.fixture
def sitter(sqlite_work, bank, place):
    """Somebody who has just sat, and their sitting."""
    someone = a_person(sqlite_work, organisation=place)
    walk = Walk(sqlite_work, bank, someone, Learner("contests", 1.0))
    return someone, sit(walk, "tape_in", clock.now()).id


def test_from_the_doubt_to_the_answer(visit, sqlite_work, sitter, place):
    someone, sitting_id = sitter
    mine = visit(someone)
    here = f"/sittings/{sitting_id}/result/1"
    assert "Something is wrong with this question" in mine.get(here)
    html = mine.post(f"{here}/contest", {"comment": COMMENT})
    assert "has not answered yet" in html and COMMENT in html
    assert "contested" in mine.get(f"/sittings/{sitting_id}/result")

    teacher = visit(a_person(sqlite_work, "instructor", organisation=place))
    assert "1 contested question waits" in teacher.get("/cohort")
    listed = teacher.get("/contests")
    address = listed.partition('href="/contests/')[2].partition('"')[0]
    page = teacher.get(f"/contests/{address}")
    assert COMMENT in page and "Keyed as right" in page
    assert "Choose one" in teacher.post(f"/contests/{address}", {"words": WHY}, code=400)
    answer = {"upheld": "yes", "reach": "one", "words": WHY}
    assert "1 sitting was decided again" in teacher.post(f"/contests/{address}", answer)

    html = mine.get(here)
    assert "counts no more" in html and WHY in html
    assert "Decided again" in mine.get(f"/sittings/{sitting_id}/result")


def test_too_little_is_asked_again(visit, sitter):
    someone, sitting_id = sitter
    html = visit(someone).post(
        f"/sittings/{sitting_id}/result/1/contest", {"comment": "no"}, code=400
    )
    assert "in 10 to 2000 letters" in html and ">no</textarea>" in html


def test_nothing_contested_says_so(visit, sqlite_work):
    page = visit(a_person(sqlite_work, "instructor"))
    assert "Nothing is contested" in page.get("/contests")
    page.get("/contests/" + "0" * 32, code=404)
