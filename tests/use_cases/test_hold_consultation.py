"""A consultation held: steps once, the decision once, and then it counts like any answer."""

import pytest

from tests.support.consulted import needed, right_answer, sent_of
from tests.support.people import NOW, a_person
from trainer.core.items.codec import from_kept
from trainer.store import practice
from trainer.use_cases import hold_consultation, practise, review_member, sit_assessment
from trainer.use_cases.hold_consultation import Held, Room
from trainer.use_cases.know_competency import known_to
from trainer.use_cases.refusals import InputProblem, NotFound

METHOD = "tape_in"


@pytest.fixture
def someone(work):
    return a_person(work)


@pytest.fixture
def opened(work, bank, someone):
    """The id of a consultation that waits, and its item."""
    with work.reading(someone.viewer) as unit:
        planned = practise.plan_next(unit, bank, METHOD, "consultation", NOW, "consultation")
    made = practise.make(bank, planned)
    with work.writing(someone.viewer) as unit:
        item_id = practise.show_next(unit, planned, made, NOW)
        return item_id, from_kept(practice.shown(unit, item_id).kept)


def do(work, someone, what, *given):
    with work.writing(someone.viewer) as unit:
        what(unit, *given, NOW)


def seen(work, someone, item_id):
    with work.reading(someone.viewer) as unit:
        return hold_consultation.see(unit, item_id)


def held(work, someone, item_id, item, **changed):
    """Take every needed step, decide and tell."""
    answer = right_answer(item) | changed
    for step in answer["findings"]:
        do(work, someone, hold_consultation.take, item_id, step)
    do(work, someone, hold_consultation.decide, item_id, sent_of(answer))
    do(work, someone, hold_consultation.tell, item_id, answer["words"])


def test_a_closed_tab_finds_its_steps_again(work, someone, opened):
    item_id, item = opened
    for step in needed(item)[:2]:
        do(work, someone, hold_consultation.take, item_id, step)
    room = seen(work, someone, item_id)
    assert isinstance(room, Room) and not room.decided
    assert [one.id for one in room.chair.taken] == needed(item)[:2]
    assert room.tellings == ()


def test_a_step_taken_twice_counts_once(work, someone, opened):
    item_id, item = opened
    for _ in range(2):
        do(work, someone, hold_consultation.take, item_id, needed(item)[0])
    assert len(seen(work, someone, item_id).chair.taken) == 1


def test_the_decision_stands_and_closes_the_steps(work, someone, opened):
    item_id, item = opened
    do(work, someone, hold_consultation.decide, item_id, sent_of(right_answer(item)))
    other = sent_of(right_answer(item)) | {f"verdict_{METHOD}": ["adapt"]}
    do(work, someone, hold_consultation.decide, item_id, other)
    do(work, someone, hold_consultation.take, item_id, needed(item)[0])
    room = seen(work, someone, item_id)
    assert room.decided and room.chair.taken == ()
    assert room.tellings == item.options
    do(work, someone, hold_consultation.tell, item_id, right_answer(item)["words"])
    over = seen(work, someone, item_id)
    assert over.marked.response["decision"] == item.key["decision"]


def test_it_counts_into_competency_under_its_topic(work, someone, opened):
    item_id, item = opened
    held(work, someone, item_id, item)
    over = seen(work, someone, item_id)
    assert isinstance(over, Held) and over.marked.mark.right
    with work.reading(someone.viewer) as unit:
        known = known_to(unit, someone.id)
    for topic in ("consultation", ""):
        assert (known[METHOD, topic].n, known[METHOD, topic].right) == (1, 1)
    assert known[METHOD, "consultation"].waiting_id is None


def test_telling_twice_changes_nothing(work, someone, opened):
    item_id, item = opened
    held(work, someone, item_id, item)
    wrong = next(iter(o.id for o in item.options if o.id in item.misconceptions))
    do(work, someone, hold_consultation.tell, item_id, wrong)
    assert seen(work, someone, item_id).marked.mark.score == 1.0
    with work.reading(someone.viewer) as unit:
        assert known_to(unit, someone.id)[METHOD, "consultation"].n == 1


def test_wrong_ideas_are_noted(work, someone, opened):
    item_id, item = opened
    wrong = next(o.id for o in item.options if o.id in item.misconceptions)
    held(work, someone, item_id, item, words=wrong)
    with work.reading(someone.viewer) as unit:
        noted = practice.wrong_ideas(unit, [someone.id])
    assert item.misconceptions[wrong] in {row.misconception for row in noted}


def test_the_words_come_after_the_decision(work, someone, opened):
    item_id, _ = opened
    with pytest.raises(NotFound):
        do(work, someone, hold_consultation.tell, item_id, "a")


@pytest.mark.parametrize("left_out", ["plan", "earliest", f"verdict_{METHOD}"])
def test_a_decision_with_a_gap_is_refused_and_nothing_is_kept(work, someone, opened, left_out):
    item_id, item = opened
    whole = sent_of(right_answer(item))
    whole |= {"plan": [METHOD], "grams": ["80"], "earliest": ["2026-03-05"]}
    whole.pop(left_out)
    with pytest.raises(InputProblem):
        do(work, someone, hold_consultation.decide, item_id, whole)
    assert not seen(work, someone, item_id).decided


def test_an_unknown_step_is_refused(work, someone, opened):
    with pytest.raises(InputProblem):
        do(work, someone, hold_consultation.take, opened[0], "read_minds")


def test_somebody_else_finds_nothing(work, opened):
    other = a_person(work)
    with pytest.raises(NotFound):
        seen(work, other, opened[0])
    with pytest.raises(NotFound):
        do(work, other, hold_consultation.take, opened[0], "pull_test")


def test_it_cannot_be_answered_past_its_room(work, someone, opened):
    item_id, item = opened
    with work.writing(someone.viewer) as unit, pytest.raises(NotFound):
        practise.respond(unit, item_id, sent_of(right_answer(item)), NOW)


def test_whoever_trains_them_sees_it(work, bank, someone, opened):
    item_id, item = opened
    held(work, someone, item_id, item)
    teacher = a_person(work, "instructor", organisation=someone.organisation)
    with work.reading(teacher.viewer) as unit:
        answer = review_member.one_answer(unit, bank, someone.id, item_id)
    assert answer.feedback.right
    assert any(line.startswith("Steps: ") for line in answer.feedback.said_lines)


def test_no_sitting_holds_one(bank):
    prepared = sit_assessment.prepare(bank, METHOD)
    assert "consultation" not in {row["kept"]["type"] for row in prepared.items}
