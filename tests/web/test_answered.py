"""How answers fall, on screen."""

from tests.support.answered import Place
from tests.support.people import a_person
from trainer.core.scenarios.family import families


def test_nothing_yet_is_said_plainly(visit, sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    html = visit(boss).get("/methods/answers")
    assert "From the last 0 answers" in html and "too few answers" in html
    visit(a_person(sqlite_work)).get("/methods/answers", 403)


def test_a_question_is_drawn_and_said(visit, sqlite_work, bank):
    family = families(bank, method="tape_in")[0]
    place = Place(sqlite_work, "tape_in", next(iter(bank.misconceptions)))
    place.answered(lambda n, k: n < 4, family=family.id)
    html = visit(place.boss).get("/methods/answers?method=tape_in")
    assert family.recipe.title in html
    assert "Those who know more get it wrong more often." in html
    assert 'aria-label="Right: 100 % of those who know least' in html
    assert "How answers fall" in visit(place.boss).get("/methods")
