"""A forgotten password by mail, through a real mail server on this machine."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from trainer.use_cases import one_use_links
from trainer.use_cases.recover_password import MOST_OPEN, Letters, ask_by_mail, recovery_link
from trainer.use_cases.refusals import Forbidden

LASTS = timedelta(hours=2)


def ask(work, letterbox, email):
    letters = Letters(letterbox.url, "no-reply@example.org", "https://x.example")
    ask_by_mail(work, letters, email, LASTS, NOW).join()


def test_the_letter_holds_a_link_that_works(work, letterbox):
    someone = a_person(work)
    ask(work, letterbox, someone.email)
    (letter,) = letterbox.letters
    token = letter.get_content().split("/set-password/")[1].split()[0]
    with work.reading() as unit:
        assert one_use_links.holder(unit, token, NOW).id == someone.id


def test_a_stranger_s_address_sends_nothing_and_says_nothing(work, letterbox):
    ask(work, letterbox, "stranger@example.org")
    assert letterbox.letters == []


def test_a_stranger_who_asks_over_and_over_floods_nobody_s_letter_box(work, letterbox):
    someone = a_person(work)
    for _ in range(MOST_OPEN + 2):
        ask(work, letterbox, someone.email)
    assert len(letterbox.letters) == MOST_OPEN


def test_an_instructor_helps_apprentices_only(work):
    teacher = a_person(work, "instructor")
    learner = a_person(work, organisation=teacher.organisation)
    boss = a_person(work, "administrator", organisation=teacher.organisation)
    with work.writing(teacher.viewer) as unit:
        assert recovery_link(unit, learner.id, LASTS, NOW)
        with pytest.raises(Forbidden):
            recovery_link(unit, boss.id, LASTS, NOW)
