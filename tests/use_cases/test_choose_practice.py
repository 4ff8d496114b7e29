"""What comes next in practice, from what is remembered, believed and asked for; and it says why."""

from datetime import timedelta

import pytest

from tests.store.test_modules import values
from tests.support.admitted import begun
from tests.support.people import NOW, a_person
from tests.support.plain_bank import METHOD, answer_to, plain_bank
from trainer.core.measurement.forgetting import after_answer
from trainer.store import memories, modules, practice
from trainer.use_cases import choose_practice, finish_sitting, practise, sit_assessment
from trainer.use_cases.keep_memory import remembered

TOPIC = "removal_safety"


@pytest.fixture
def plain():
    return plain_bank()


def practised(work, someone, bank, right=True, now=NOW, topic=TOPIC):
    """Practise once; gives the family and why it came."""
    with work.reading(someone.viewer) as unit:
        planned = practise.plan_next(unit, bank, METHOD, topic, now)
    made = practise.make(bank, planned)
    with work.writing(someone.viewer) as unit:
        item_id = practise.show_next(unit, planned, made, now)
        question = practise.see(unit, item_id)
        kept = practice.shown(unit, item_id).kept
        practise.respond(unit, item_id, answer_to(kept, right), now)
    return kept["family"], question.why


def test_an_answer_leaves_a_memory_and_the_next_one_adds_to_it(work, plain):
    someone = a_person(work)
    answers = [
        (*practised(work, someone, plain, right, NOW + timedelta(days=3 * n)), right, n)
        for n, right in enumerate((True, False, True, True, False, True, True, True))
    ]
    expected = {}
    for family, _, right, n in answers:
        then = NOW + timedelta(days=3 * n)
        expected[family] = after_answer(expected.get(family), right, then)
    with work.reading(someone.viewer) as unit:
        assert remembered(unit) == expected
        some = sorted(expected)[:2]
        assert remembered(unit, some) == {family: expected[family] for family in some}
    other = a_person(work)
    with work.reading(other.viewer) as unit:
        assert remembered(unit) == {}


def test_the_same_answer_twice_is_remembered_once(work, plain):
    someone = a_person(work)
    with work.reading(someone.viewer) as unit:
        planned = practise.plan_next(unit, plain, METHOD, TOPIC, NOW)
    made = practise.make(plain, planned)
    with work.writing(someone.viewer) as unit:
        item_id = practise.show_next(unit, planned, made, NOW)
        sent = answer_to(practice.shown(unit, item_id).kept, True)
    for minutes in (1, 2):
        with work.writing(someone.viewer) as unit:
            practise.respond(unit, item_id, sent, NOW + timedelta(minutes=minutes))
    with work.reading(someone.viewer) as unit:
        (row,) = memories.of_person(unit, someone.id)
    assert row.at == NOW + timedelta(minutes=1)


def test_a_sitting_is_remembered_too(work, plain):
    someone = a_person(work)
    prepared = sit_assessment.prepare(plain, METHOD)
    found = begun(work, plain, someone, METHOD, prepared)
    with work.writing(someone.viewer) as unit:
        for row in prepared.items[:5]:
            sent = answer_to(row["kept"], True)
            sit_assessment.save_answer(unit, found, row["position"], sent, "", NOW)
        finish_sitting.finish(unit, plain, found, NOW)
        assert set(remembered(unit)) == {row["family"] for row in prepared.items[:5]}


def test_the_screen_can_say_why(work, plain):
    someone = a_person(work)
    why = [practised(work, someone, plain, now=NOW + timedelta(minutes=n))[1] for n in range(3)]
    assert why[0] == "New to you, and a mistake here can hurt someone."
    assert why[1] == "There is more here that you have not met yet."
    later = NOW + timedelta(days=60)
    for n in range(9):
        practised(work, someone, plain, now=NOW + timedelta(minutes=10 + n))
    _, said = practised(work, someone, plain, now=later)
    assert said == "You last did this 60 days ago, so it may be fading."


def test_a_wrong_idea_is_settled_where_right_answers_followed(work, plain):
    someone = a_person(work)
    for n in range(12):
        practised(work, someone, plain, n > 5, NOW + timedelta(minutes=n))
    with work.reading(someone.viewer) as unit:
        assert practice.wrong_ideas(unit, [someone.id])
    reasons = {
        practised(work, someone, plain, now=NOW + timedelta(days=1, minutes=n))[1] for n in range(4)
    }
    assert not any("wrong idea" in one for one in reasons)


def test_what_was_asked_for_comes_before_all_else(work, plain):
    someone = a_person(work)
    for n in range(4):
        practised(work, someone, plain, False, NOW + timedelta(minutes=n))
    wanted = [choose_practice.Wanted(METHOD, "timings", 2.0, "module")]
    with work.reading(someone.viewer) as unit:
        found = choose_practice.do_now(unit, plain, wanted, NOW)
    assert (found.topic, found.module_id) == ("timings", "module")
    assert found.reason == "Your instructor asked for this. It is due in 2 days."


def test_a_module_goes_over_all_its_topics(work, plain):
    boss = a_person(work, "instructor")
    someone = a_person(work, organisation=boss.organisation)
    topics = ["removal_safety", "timings"]
    asked = values(boss, methods=[METHOD], topics=topics, length=8)
    with work.writing(boss.viewer) as unit:
        module_id, _ = modules.keep_once(unit, asked)
        modules.assign(unit, module_id, (), [someone.id])
    met = []
    for n in range(8):
        then = NOW + timedelta(minutes=n)
        with work.reading(someone.viewer) as unit:
            found = choose_practice.next_in(unit, plain, module_id, then)
        assert (found.method, found.module_id) == (METHOD, module_id)
        met.append(found.topic)
        practised(work, someone, plain, now=then, topic=found.topic)
    assert sorted(met) == sorted(topics * 4)
    with work.reading(someone.viewer) as unit:
        assert choose_practice.next_in(unit, plain, module_id, NOW) is None
    with work.reading(boss.viewer) as unit:
        assert choose_practice.next_in(unit, plain, module_id, NOW) is None
