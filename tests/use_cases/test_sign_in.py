"""Who gets in, and who does not."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, PASSWORD, PASSWORDS, a_person
from trainer.store import people
from trainer.use_cases import one_use_links
from trainer.use_cases.passwords import must_be_good
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.sign_in import MOST_FOR_ADDRESS, WINDOW, TooManyTries, sign_in, visiting


def enter(work, email, password=PASSWORD, at=NOW):
    return sign_in(work, PASSWORDS, email, password, "203.0.113.5", at)


def test_the_right_password_gets_in_whatever_the_case_of_the_address(work):
    someone = a_person(work)
    assert enter(work, someone.email.upper()).person_id == someone.id


def test_the_refusal_does_not_tell_which_was_wrong(work):
    someone = a_person(work)
    said = []
    for email, password in ((someone.email, "wrong wrong wrong"), ("no@example.org", PASSWORD)):
        with pytest.raises(InputProblem) as refused:
            enter(work, email, password)
        said.append(str(refused.value))
    assert said[0] == said[1]


def test_too_many_tries_close_the_door_for_a_while_even_to_the_right_password(work):
    someone = a_person(work)
    for _ in range(MOST_FOR_ADDRESS):
        with pytest.raises(InputProblem):
            enter(work, someone.email, "wrong wrong wrong")
    with pytest.raises(TooManyTries):
        enter(work, someone.email)
    later = NOW + WINDOW + timedelta(seconds=1)
    assert enter(work, someone.email, at=later).person_id == someone.id


def test_a_disabled_person_does_not_get_in(work):
    someone = a_person(work)
    with work.writing() as unit:
        people.person(unit, someone.id).disabled_at = NOW
    with pytest.raises(InputProblem):
        enter(work, someone.email)


def test_a_link_sets_a_password_once_and_ends_open_visits(work):
    someone = a_person(work)
    with work.writing() as unit:
        token = one_use_links.make_link(unit, someone.id, "recovery", timedelta(hours=2), NOW)
    new = "violet anchor through nine gates"
    with work.writing() as unit:
        one_use_links.set_password(unit, PASSWORDS, token, new, NOW)
    assert enter(work, someone.email, new).person_id == someone.id
    with work.reading() as unit:
        assert visiting(unit, someone.id, 0) is None
    with work.writing() as unit, pytest.raises(InputProblem, match="was used"):
        one_use_links.set_password(unit, PASSWORDS, token, new, NOW)


def test_a_password_set_through_one_link_ends_the_others(work):
    someone = a_person(work)
    with work.writing() as unit:
        lasts = timedelta(days=14)
        first = one_use_links.make_link(unit, someone.id, "invitation", lasts, NOW)
        token = one_use_links.make_link(unit, someone.id, "recovery", lasts, NOW)
    with work.writing() as unit:
        new = "violet anchor through nine gates"
        one_use_links.set_password(unit, PASSWORDS, token, new, NOW)
    with work.reading() as unit, pytest.raises(InputProblem, match="was used"):
        one_use_links.holder(unit, first, NOW)


def test_a_link_grows_too_old(work):
    someone = a_person(work)
    with work.writing() as unit:
        token = one_use_links.make_link(unit, someone.id, "recovery", timedelta(hours=2), NOW)
    with work.reading() as unit, pytest.raises(InputProblem):
        one_use_links.holder(unit, token, NOW + timedelta(hours=3))


@pytest.mark.parametrize(
    "password",
    [
        "short",
        "passwordpassword",
        "aaaaaaaaaaaaaaaaaaaa",
        "hairdresser12345",
        "mira okafor mira okafor",
    ],
)
def test_poor_passwords_are_refused_with_the_reason(password):
    with pytest.raises(InputProblem) as refused:
        must_be_good(password, "Mira Okafor", "mira@example.org")
    assert refused.value.where == "password"


def test_a_long_plain_sentence_is_a_good_password():
    must_be_good("the heron waits at low tide", "Mira Okafor", "mira@example.org")
