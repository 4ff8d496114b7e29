"""How answers fall, on screen."""

from tests.support.answered import Place
from tests.support.grouped import SIZE, Academy
from tests.support.people import a_person
from trainer.core.scenarios.family import families


def test_nothing_yet_is_said_plainly(visit, sqlite_work):
    boss = a_person(sqlite_work, "administrator")
    html = visit(boss).get("/methods/answers")
    assert "From the last 0 answers" in html and "too few to say" in html
    assert "Nothing to show yet" in html
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


def test_two_groups_are_compared_in_a_picture_and_in_words(visit, sqlite_work, bank):
    there = tuple(one.id for one in families(bank, method="tape_in"))[:20]
    academy = Academy(sqlite_work, "tape_in", there, {there[4]: SIZE}, group="Evening course")
    academy.join(400, 14)
    page = visit(academy.boss)
    html = page.get("/methods/answers/groups?method=tape_in")
    title = families(bank, method="tape_in")[4].recipe.title
    assert title in html.split("Too few to say:")[0]
    assert "if at most four of ten of Evening course do" in html
    assert 'unlike, harder for Evening course"' in html
    assert "What to do about one that is clearly unlike" in html
    assert "Too few people on one side" in html and "Other places" in html
    assert "Whether they treat groups alike" in page.get("/methods")


def test_before_there_are_twenty_of_each_it_says_why_nothing_is_shown(visit, sqlite_work):
    page = visit(a_person(sqlite_work, "administrator"))
    html = page.get("/methods/answers/groups")
    assert "Too few people to compare" in html and "somebody could be found by it" in html
    assert "Too few people" in page.get("/methods/answers/groups?groups=spelling&method=nothing")
    visit(a_person(sqlite_work)).get("/methods/answers/groups", 403)
