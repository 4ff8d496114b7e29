"""How hard the questions proved to be, on screen: nothing yet, in use, a newer one waits."""

from datetime import timedelta

from tests.store.test_calibrations import a_calibration
from tests.support.people import NOW, a_person
from trainer.store import calibrations


def test_before_the_first_it_says_how_difficulty_is_judged(visit, sqlite_work):
    html = visit(a_person(sqlite_work, "instructor")).get("/methods/difficulty")
    assert "Still judged" in html and "trainer recalibrate" in html


def test_the_hardest_comes_first_in_plain_words(visit, sqlite_work):
    with sqlite_work.writing() as unit:
        a_calibration(unit, NOW, return_window__tape_in=-1.0, offer_verdict__tape_in=2.5)
    page = visit(a_person(sqlite_work, "instructor"))
    html = page.get("/methods/difficulty?method=tape_in")
    assert html.index("What happens with this booking?") < html.index("get it right, "[:12])
    assert "get it right" in html and "Answers look odd" in html
    assert "Nobody has answered" in page.get("/methods/difficulty?method=clip_in")


def test_answers_that_do_not_follow_ability_are_pointed_out(visit, sqlite_work):
    with sqlite_work.writing() as unit:
        run = a_calibration(unit, NOW, offer_verdict__tape_in=0.0)
        (row,) = calibrations.families_of(unit, run)
        row.outfit = 1.9
    page = visit(a_person(sqlite_work, "instructor"))
    assert "answers look odd" in page.get("/methods/difficulty?method=tape_in")


def test_a_newer_one_waits_and_changes_nothing(visit, sqlite_work):
    with sqlite_work.writing() as unit:
        a_calibration(unit, NOW, offer_verdict__tape_in=0.0)
        newer = a_calibration(unit, at=NOW + timedelta(days=2), offer_verdict__tape_in=3.0)
    html = visit(a_person(sqlite_work, "administrator")).get("/methods/difficulty?method=tape_in")
    assert newer in html


def test_it_is_not_for_apprentices(visit, sqlite_work):
    visit(a_person(sqlite_work)).get("/methods/difficulty", code=403)
