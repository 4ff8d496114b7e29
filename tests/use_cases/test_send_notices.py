"""Letters: off until asked for, none when nothing needs anybody, off again by the letter itself."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.support.admitted import asked, ready
from tests.support.people import NOW, a_person
from tests.use_cases.test_appeal import FOUND, answer, send
from trainer.use_cases import assign_module, send_notices
from trainer.use_cases.assign_module import Wish
from trainer.use_cases.keep_people import end_membership
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.see_needs import needs
from trainer.use_cases.send_notices import DAILY, NEVER, WEEKLY, Mailing, send_due

DAY = timedelta(days=1)


@pytest.fixture
def mailing(letterbox):
    return Mailing(letterbox.url, "no-reply@example.org", "https://x.example/", "a secret", 60)


@pytest.fixture
def boss(work):
    return a_person(work, "instructor", name="Ines Varga")


@pytest.fixture
def learner(work, bank, boss):
    """Somebody whose module is due in three days."""
    someone = a_person(work, organisation=boss.organisation, name="Mina Torvald")
    due = (NOW + 3 * DAY).date()
    wish = Wish("Tape, no tears", ["tape_in"], ["timings"], 5, due, person_ids=[someone.id])
    with work.writing(boss.viewer) as unit:
        assign_module.create(unit, bank, wish, ("", ""), NOW)
    return someone


def choose(work, someone, every):
    with work.writing(someone.viewer) as unit:
        send_notices.choose(unit, every)


def told(work, bank, someone, now=NOW):
    with work.reading(someone.viewer) as unit:
        return needs(unit, bank, 60, now)


def test_nobody_gets_a_letter_who_has_not_asked(work, bank, learner, letterbox, mailing):
    assert send_due(work, bank, mailing, NOW).letters == 0
    assert letterbox.letters == []


def test_a_letter_says_what_needs_its_reader_and_names_nobody(
    work, bank, learner, letterbox, mailing
):
    choose(work, learner, DAILY)
    assert send_due(work, bank, mailing, NOW).letters == 1
    (letter,) = letterbox.letters
    assert letter["Subject"] == "1 thing needs you" and letter["To"] == learner.email
    text = letter.get_content()
    assert "Your module 'Tape, no tears' is due Friday 6 March" in text
    assert "https://x.example/needs" in text.split()
    named = text.replace(letter["List-Unsubscribe"].strip("<>"), "")  # what it ends by is random
    assert not any(name in named for name in ("Mina", "Torvald", "Ines"))


# RFC 8058, 3.1: both headers, an https address, a POST of List-Unsubscribe=One-Click.
def test_the_letter_itself_ends_the_letters(work, bank, learner, letterbox, mailing):
    choose(work, learner, DAILY)
    send_due(work, bank, mailing, NOW)
    (letter,) = letterbox.letters
    assert letter["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    address = letter["List-Unsubscribe"].strip("<>")
    assert address in letter.get_content() and address.startswith("https://x.example/needs/stop/")
    # RFC 2369, 2 and RFC 2047, 5: the address stands there as it is, in one line, not in codes.
    assert f"\r\nList-Unsubscribe: <{address}>\r\n".encode() in letterbox.raw[0]
    token = address.rpartition("/")[2]
    with work.writing() as unit:
        for bad in (token[:-1], token + "x", "", "a.b"):
            with pytest.raises(NotFound):
                send_notices.stop(unit, "a secret", bad)
        with pytest.raises(NotFound):
            send_notices.stop(unit, "another secret", token)
        assert send_notices.stop(unit, "a secret", token).startswith("Place")
        assert send_notices.stop(unit, "a secret", token).startswith("Place")
    assert send_due(work, bank, mailing, NOW + DAY).letters == 0


@pytest.mark.parametrize(("every", "days"), [(DAILY, [0, 1, 2, 3, 4, 5, 6, 7]), (WEEKLY, [0, 7])])
def test_letters_come_as_often_as_asked(work, bank, learner, mailing, every, days):
    choose(work, learner, every)
    sent = [day for day in range(8) if send_due(work, bank, mailing, NOW + day * DAY).letters]
    assert sent == days


def test_nothing_to_tell_sends_nothing(work, bank, mailing, boss):
    choose(work, boss, DAILY)
    done = send_due(work, bank, mailing, NOW)
    assert (done.letters, done.quiet) == (0, 1)


def test_whoever_has_left_gets_none(work, bank, learner, boss, mailing):
    choose(work, learner, DAILY)
    admin = a_person(work, "administrator", organisation=boss.organisation)
    with work.writing(admin.viewer) as unit:
        end_membership(unit, learner.id, NOW)
    assert send_due(work, bank, mailing, NOW).letters == 0


def test_one_that_fails_holds_up_nobody_and_is_sent_again(
    work, bank, learner, boss, letterbox, mailing
):
    choose(work, learner, DAILY)
    choose(work, boss, DAILY)
    late = NOW + 5 * DAY
    letterbox.refused.add(learner.email)
    done = send_due(work, bank, mailing, late)
    assert done.letters == 1 and learner.email in done.failed[0]
    letterbox.refused.clear()
    assert send_due(work, bank, mailing, late).letters == 1


def test_without_a_mail_server_it_says_what_to_set(work, bank, mailing):
    for field, name in (("smtp_url", "TRAINER_SMTP_URL"), ("site", "TRAINER_BASE_URL")):
        with pytest.raises(InputProblem) as found:
            send_due(work, bank, replace(mailing, **{field: ""}), NOW)
        assert found.value.where == name


def test_a_choice_is_kept_changed_and_taken_back(work, learner):
    for every in (DAILY, WEEKLY, NEVER, NEVER):
        choose(work, learner, every)
        with work.reading(learner.viewer) as unit:
            assert send_notices.chosen(unit) == every
    with pytest.raises(InputProblem):
        choose(work, learner, 3)


def test_the_instructor_is_told_of_late_modules_and_appeals(work, bank, boss, learner):
    sent = send(work, bank, learner, about="something_else", method="")
    (late, one) = told(work, bank, boss, NOW + 5 * DAY)
    assert (late.words, late.late) == ("1 module is overdue for somebody", True)
    assert (one.words, one.on) == ("A complaint is to be answered", date(2026, 3, 31))
    answer(work, boss, sent, words=FOUND)
    assert "Your complaint is answered" in [one.words for one in told(work, bank, learner)]
    assert all(one.kind != "appeal" for one in told(work, bank, learner, NOW + 30 * DAY))


def test_the_instructor_is_told_who_asks_to_sit(work, bank, boss, learner):
    ready(work, bank, learner, "tape_in")
    asked(work, bank, learner, "tape_in")
    assert "1 person asks to sit an assessment" in [one.words for one in told(work, bank, boss)]
