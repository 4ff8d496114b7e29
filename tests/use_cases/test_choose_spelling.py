"""A spelling for oneself, or for a place; on both databases."""

import pytest

from tests.support.people import NOW, a_person
from trainer.use_cases import choose_spelling
from trainer.use_cases.keep_log import check_log
from trainer.use_cases.refusals import Forbidden, InputProblem
from trainer.use_cases.sign_in import visiting
from trainer.use_cases.work import NOBODY


def seen(work, someone):
    with work.reading() as unit:
        person, places = visiting(unit, someone.id, 0)
    return person.spelling, places[0].spelling


def test_a_person_chooses_and_goes_back(work):
    someone = a_person(work)
    assert seen(work, someone) == ("", "british")
    for spelling in ("american", "british", ""):
        with work.writing(someone.viewer) as unit:
            choose_spelling.for_me(unit, spelling)
        assert seen(work, someone) == (spelling, "british")


def test_an_administrator_chooses_for_the_place_alone(work):
    boss, other = a_person(work, "administrator"), a_person(work)
    with work.writing(boss.viewer) as unit:
        choose_spelling.for_organisation(unit, "american", NOW)
    assert seen(work, boss) == ("", "american")
    assert seen(work, other) == ("", "british")
    with work.reading() as unit:
        assert check_log(unit)[1] == []


def test_nobody_else_does(work):
    someone = a_person(work, "instructor")
    with pytest.raises(Forbidden), work.writing(someone.viewer) as unit:
        choose_spelling.for_organisation(unit, "american", NOW)
    with pytest.raises(Forbidden), work.writing(NOBODY) as unit:
        choose_spelling.for_me(unit, "american")


def test_another_word_is_no_spelling(work):
    boss = a_person(work, "administrator")
    with pytest.raises(InputProblem), work.writing(boss.viewer) as unit:
        choose_spelling.for_me(unit, "martian")
    with pytest.raises(InputProblem), work.writing(boss.viewer) as unit:
        choose_spelling.for_organisation(unit, "", NOW)
    assert seen(work, boss) == ("", "british")
