"""A forgotten password by mail, through a real mail server on this machine."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from trainer.use_cases import keep_people, one_use_links
from trainer.use_cases.recover_password import MOST_OPEN, ask_by_mail, recovery_link
from trainer.use_cases.refusals import Forbidden, InputProblem
from trainer.use_cases.send_mail import Letters

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


def test_no_house_opens_an_account_that_was_there_before(work):
    """A link sets the password of the whole account: it opens every house of its person."""
    teacher, stranger = a_person(work, "instructor"), a_person(work, "administrator")
    later = NOW + timedelta(days=1)
    with work.writing() as unit:
        keep_people.join(unit, teacher.id, stranger.organisation, ("apprentice",), later)
    with work.writing(stranger.viewer) as unit:
        with pytest.raises(InputProblem, match="had an account before"):
            recovery_link(unit, teacher.id, LASTS, later)
        with pytest.raises(InputProblem, match="before they came here"):
            keep_people.rename(unit, teacher.id, "Somebody Else", later)
    chief = a_person(work, "administrator", organisation=teacher.organisation)
    with work.writing(chief.viewer) as unit:
        assert recovery_link(unit, teacher.id, LASTS, later)


def test_an_instructor_helps_nobody_who_decides_elsewhere(work):
    teacher = a_person(work, "instructor")
    learner = a_person(work, organisation=teacher.organisation)
    salon = a_person(work, "administrator")
    with work.writing() as unit:
        roles = ("salon_manager",)
        keep_people.join(unit, learner.id, salon.organisation, roles, NOW + timedelta(days=1))
    with work.writing(teacher.viewer) as unit, pytest.raises(Forbidden):
        recovery_link(unit, learner.id, LASTS, NOW)
