"""Appeals and complaints are answered by somebody who took no part, and both sides see how."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person, an_organisation
from trainer.use_cases import accept_evidence, appeal
from trainer.use_cases.appeal import Said
from trainer.use_cases.keep_log import check_log, log
from trainer.use_cases.keep_people import disable
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.work import Viewer

WORDS = "My removal sheet says 'forced'. I soaked each bond twice and Ines had left the room."
FOUND = "I read the sheet and asked both. The work is to be watched again by somebody else."


@pytest.fixture
def boss(work, place):
    return a_person(work, "instructor", organisation=place, name="Ines Varga")


@pytest.fixture
def chief(work, place):
    return a_person(work, "administrator", organisation=place, name="Ottoline Brask")


@pytest.fixture
def learner(work, place):
    return a_person(work, organisation=place, name="Mina Torvald")


def send(work, bank, by, submission="one", **changed):
    given = {"about": "sign_off", "method": "fusion_bond", "words": WORDS, "concerns": ()}
    with work.writing(by.viewer) as unit:
        said = Said(submission, **{**given, **changed})
        return appeal.send(unit, bank, said, 28, NOW)


def seen(work, by, appeal_id):
    with work.reading(by.viewer) as unit:
        return appeal.see(unit, appeal_id)


def answer(work, by, appeal_id, upheld=True, words=FOUND):
    with work.writing(by.viewer) as unit:
        appeal.answer(unit, appeal_id, upheld, words, NOW + timedelta(days=2))


def test_from_sending_to_the_answer_which_the_sender_reads(work, bank, learner, chief):
    sent = send(work, bank, learner)
    first = seen(work, learner, sent)
    assert (first.state, first.is_appeal) == ("received", True)
    assert first.due_on == NOW.date() + timedelta(days=28)
    with work.writing(chief.viewer) as unit:
        assert [one.id for one in appeal.waiting(unit)] == [sent]
        appeal.take_up(unit, sent, NOW)
    assert seen(work, learner, sent).taken_by == "Ottoline Brask"
    answer(work, chief, sent)
    last = seen(work, learner, sent)
    assert (last.state, last.upheld, last.answer) == ("answered", True, FOUND)
    assert last.answered_by == "Ottoline Brask"
    with work.reading(chief.viewer) as unit:
        assert appeal.waiting(unit) == [] and appeal.count_waiting(unit) == 0
        assert [one.id for one in appeal.answered(unit)] == [sent]
        assert check_log(unit)[1] == []


# ISO/IEC 17024:2012, 9.8.3 and 9.9.6 (from memory): not by persons involved.
@pytest.mark.parametrize("kind", ["observation.signed", "record.suspended", "sitting.opened"])
def test_whoever_took_part_does_not_answer(work, bank, learner, boss, chief, kind):
    with work.writing(boss.viewer) as unit:
        log(unit, kind, {}, NOW, person_id=learner.id)
    sent = send(work, bank, learner)
    with pytest.raises(Forbidden, match="You took part"):
        answer(work, boss, sent)
    assert seen(work, boss, sent).free == seen(work, chief, sent).free == 1


def test_where_nobody_is_free_it_shows(work, bank, learner, boss):
    sent = send(work, bank, learner, concerns=[boss.id])
    assert seen(work, boss, sent).free == seen(work, learner, sent).free == 0


def test_whoever_asked_for_other_evidence_does_not_answer(work, bank, learner, boss):
    with work.writing(boss.viewer) as unit:
        why = "Watched at her last academy; signed sheet seen."
        accept_evidence.ask(unit, bank, learner.id, "tape_in", "remove", why, NOW)
    sent = send(work, bank, learner, about="other_evidence")
    with pytest.raises(Forbidden, match="You took part"):
        answer(work, boss, sent)


def test_whoever_is_named_or_sent_it_does_not_answer(work, bank, learner, boss):
    named = send(work, bank, learner, concerns=(boss.id, "nobody"))
    assert seen(work, learner, named).named == ("Ines Varga",)
    with pytest.raises(Forbidden, match="names you"):
        answer(work, boss, named)
    own = send(work, bank, boss, "two", about="something_else", method="")
    assert not seen(work, boss, own).is_appeal
    with pytest.raises(Forbidden, match="sent this yourself"):
        answer(work, boss, own)


def test_inviting_somebody_is_no_part_in_a_decision(work, bank, learner, chief):
    with work.writing(chief.viewer) as unit:
        log(unit, "member.joined", {}, NOW, person_id=learner.id)
    answer(work, chief, send(work, bank, learner), upheld=False)


def test_sent_twice_is_kept_once_and_answered_once(work, bank, learner, chief):
    sent = send(work, bank, learner)
    assert send(work, bank, learner) == sent
    answer(work, chief, sent)
    with pytest.raises(InputProblem, match="answered already"):
        answer(work, chief, sent, upheld=False)


def test_only_the_sender_and_those_who_decide_read_it(work, bank, learner, place):
    sent = send(work, bank, learner)
    with pytest.raises(Forbidden):
        seen(work, a_person(work, organisation=place), sent)
    for stranger in (a_person(work), a_person(work, "administrator")):
        with pytest.raises(NotFound):
            seen(work, stranger, sent)
    with pytest.raises(Forbidden):
        answer(work, learner, sent)


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"about": "weather"}, "about"),
        ({"method": "glue_gun"}, "method"),
        ({"words": "unfair"}, "words"),
        ({"words": "x" * 4001}, "words"),
    ],
)
def test_what_cannot_be_sent_names_the_field(work, bank, learner, changed, field):
    with pytest.raises(InputProblem) as found:
        send(work, bank, learner, **changed)
    assert found.value.where == field


def test_an_answer_says_enough(work, bank, learner, chief):
    with pytest.raises(InputProblem, match="Say what you looked at"):
        answer(work, chief, send(work, bank, learner), words="no")


def test_the_sender_reads_it_wherever_they_look_from(work, bank, learner, boss):
    sent = send(work, bank, learner)
    salon = an_organisation(work, kind="salon")
    elsewhere = Viewer(learner.id, salon, frozenset({"instructor"}))
    with work.writing(elsewhere) as unit:
        assert [one.id for one in appeal.mine(unit)] == [sent]
        assert appeal.see(unit, sent).free == 1
        with pytest.raises(Forbidden, match="sent this yourself"):
            appeal.answer(unit, sent, True, FOUND, NOW)


def test_whoever_may_not_sign_in_is_not_free_to_answer(work, bank, learner, boss):
    sent = send(work, bank, learner)
    with work.writing() as unit:
        disable(unit, boss.id, True, NOW)
    assert seen(work, learner, sent).free == 0
