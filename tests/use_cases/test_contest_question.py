"""A contested question: said by whoever sat, answered by somebody else, decided again if faulty."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person, an_organisation
from tests.support.plain_bank import METHOD, plain_bank
from tests.use_cases.test_sit_assessment import SOON, Sitter
from trainer.store import contests, events, sittings
from trainer.use_cases import contest_question
from trainer.use_cases.certify import Issuing
from trainer.use_cases.keep_log import check_log
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.see_needs import needs

COMMENT = "Two of the answers mean the same thing."
WHY = "You are right, both say the same. It counts no more."
LATER = SOON + timedelta(days=1)


@pytest.fixture
def plain():
    return plain_bank()


@pytest.fixture
def issuing(tmp_path):
    return Issuing(tmp_path / "keys", "https://trainer.example")


def sat(work, plain, place, wrong=11, **more):
    """A sitting with so many wrong answers on what is not critical, done."""
    sitter = Sitter(work, plain, someone=a_person(work, organisation=place, **more))
    harmless = [row.position for row in sitter.items() if not row.kept["critical"]][:wrong]
    sitter.answer_all(lambda row: row.position not in harmless)
    sitter.finish()
    return sitter, harmless


def contest(work, sitter, position, comment=COMMENT, now=LATER):
    with work.writing(sitter.someone.viewer) as unit:
        contest_question.contest(unit, sitter.id, position, comment, now)


def answer(work, plain, teacher, upheld, issuing, reach="one", words=WHY):
    with work.writing(teacher.viewer) as unit:
        found = contest_question.latest(unit)[0].id
        return contest_question.answer(unit, plain, found, upheld, words, reach, issuing, LATER)


def sitting(work, sitter):
    with work.reading(sitter.someone.viewer) as unit:
        return sittings.own(unit, sitter.id)


def test_a_faulty_question_counts_no_more_and_the_sitting_is_decided_again(
    work, plain, place, issuing
):
    sitter, wrong = sat(work, plain, place)
    before = sitting(work, sitter)
    assert (before.score, before.cut, before.most, before.passed) == (29, 30, 40, False)
    contest(work, sitter, wrong[0])
    teacher = a_person(work, "instructor", organisation=place)
    assert answer(work, plain, teacher, True, issuing) == 1
    after = sitting(work, sitter)
    assert (after.score, after.cut, after.most, after.passed) == (29, 30, 39, False)
    with work.reading(sitter.someone.viewer) as unit:
        first, second = contest_question.history(unit, sitter.id)
        assert (first.most, second.most, second.reason) == (40, 39, WHY)
        assert second.decided_by == teacher.id
        (said,) = contest_question.of_sitting(unit, sitter.id).values()
        assert (said.upheld, said.answer, said.answered_by) == (True, WHY, f"{said.answered_by}")
        kinds = [event.kind for event in events.all_in_order(unit)]
        assert kinds.count("question.contested") == kinds.count("contest.answered") == 1
        assert kinds.count("sitting.decided") == 2
        assert check_log(unit)[1] == []


def test_enough_faulty_questions_turn_the_decision(work, plain, place, issuing):
    sitter, wrong = sat(work, plain, place)
    teacher = a_person(work, "instructor", organisation=place)
    for position in wrong[:3]:
        contest(work, sitter, position)
        answer(work, plain, teacher, True, issuing)
    after = sitting(work, sitter)
    assert (after.score, after.cut, after.most, after.passed) == (29, 28, 37, True)


def test_nobody_loses_a_pass(work, plain, place, issuing):
    sitter, wrong = sat(work, plain, place, wrong=10)
    assert sitting(work, sitter).passed
    right = next(row.position for row in sitter.items() if row.position not in wrong)
    contest(work, sitter, right)
    answer(work, plain, a_person(work, "instructor", organisation=place), True, issuing)
    after = sitting(work, sitter)
    assert (after.score, after.cut, after.passed) == (29, 30, True)


def shared_place(work, one, two):
    """Where the first sitting has a question whose kind the second was dealt too."""
    with work.reading(one.someone.viewer) as unit:
        mine, others = (sittings.items(unit, which.id) for which in (one, two))
    dealt = {row.family for row in others}
    return next(row.position for row in mine if row.family in dealt)


def test_all_of_its_kind_are_withdrawn_in_every_sitting_here_and_nowhere_else(
    work, plain, place, issuing
):
    (one, _), (two, _) = sat(work, plain, place), sat(work, plain, place)
    stranger, _ = sat(work, plain, an_organisation(work))
    contest(work, one, shared_place(work, one, two))
    teacher = a_person(work, "instructor", organisation=place)
    with work.reading(teacher.viewer) as unit:
        opened = contest_question.see(unit, contest_question.latest(unit)[0].id)
    assert opened.sittings_alike == 2
    assert answer(work, plain, teacher, True, issuing, "alike") == 2
    assert sitting(work, one).most < 40
    assert sitting(work, two).most < 40
    assert sitting(work, stranger).most == 40


def test_a_question_that_stands_changes_nothing(work, plain, place, issuing):
    sitter, wrong = sat(work, plain, place)
    contest(work, sitter, wrong[0])
    teacher = a_person(work, "instructor", organisation=place)
    assert answer(work, plain, teacher, False, issuing) == 0
    assert sitting(work, sitter).most == 40
    with work.reading(sitter.someone.viewer) as unit:
        assert contest_question.waiting(unit) == 0
        (at,) = contest_question.answered(unit, NOW - timedelta(days=1))
        assert contest_question.answered(unit, at) == []
        told = [one for one in needs(unit, plain, 60, at) if one.kind == "contested"]
        assert [one.words for one in told] == ["1 question you contested is answered"]
        assert len(contest_question.history(unit, sitter.id)) == 1
    with work.reading(teacher.viewer) as unit:
        assert contest_question.answered(unit, NOW - timedelta(days=1)) == []


def test_nobody_answers_their_own_or_anybody_elses_house(work, plain, place, issuing):
    sitter = Sitter(work, plain, someone=a_person(work, "apprentice", "instructor"))
    sitter.answer_all()
    sitter.finish()
    contest(work, sitter, 1)
    with pytest.raises(Forbidden):
        answer(work, plain, sitter.someone, True, issuing)
    with work.reading(sitter.someone.viewer) as unit:
        found = contest_question.latest(unit)[0].id
    with work.writing(a_person(work, "instructor").viewer) as unit, pytest.raises(NotFound):
        contest_question.answer(unit, plain, found, True, WHY, "one", issuing, LATER)
    with work.reading(a_person(work).viewer) as unit, pytest.raises(Forbidden):
        contest_question.latest(unit)


def test_what_is_refused_says_why_and_keeps_nothing(work, plain, place):
    sitter, wrong = sat(work, plain, place)
    with pytest.raises(InputProblem, match="letters"):
        contest(work, sitter, 1, "no")
    with pytest.raises(InputProblem, match="60 days"):
        contest(work, sitter, 1, now=SOON + timedelta(days=61))
    with pytest.raises(NotFound):
        contest(work, sitter, 99)
    with work.writing(a_person(work).viewer) as unit, pytest.raises(NotFound):
        contest_question.contest(unit, sitter.id, 1, COMMENT, LATER)
    opened = Sitter(work, plain, someone=sitter.someone, now=LATER + timedelta(days=9))
    with pytest.raises(NotFound):
        contest(work, opened, 1)
    contest(work, sitter, wrong[0])
    contest(work, sitter, wrong[0], "Another thought about the same question.")
    with work.reading(sitter.someone.viewer) as unit:
        assert [row.comment for row in contests.of_sitting(unit, sitter.id)] == [COMMENT]
        assert METHOD in {
            one.method for one in contest_question.of_sitting(unit, sitter.id).values()
        }


def test_an_answer_needs_its_reason(work, plain, place, issuing):
    sitter, wrong = sat(work, plain, place)
    contest(work, sitter, wrong[0])
    teacher = a_person(work, "instructor", organisation=place)
    with pytest.raises(InputProblem, match="words"):
        answer(work, plain, teacher, True, issuing, words="")
    with pytest.raises(InputProblem, match="reach"):
        answer(work, plain, teacher, True, issuing, reach="everywhere")
    assert sitting(work, sitter).most == 40
    assert NOW < LATER
