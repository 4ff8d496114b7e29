"""Practise: what comes next, an answer kept once, and nothing given away before it."""

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.support.answers import WRONG, as_sent
from tests.support.people import NOW, a_person
from tests.support.plain_bank import BELIEF, METHOD, REASON, TEMPTS, answer_to, plain_bank
from trainer.core.draw import Draw
from trainer.store import competencies, practice
from trainer.use_cases import choose_practice, practise, see_competency
from trainer.use_cases.practise import Marked
from trainer.use_cases.refusals import InputProblem, NotFound

TOPIC = "removal_safety"


@pytest.fixture
def plain():
    return plain_bank()


def shown(work, someone, bank, topic=TOPIC, now=NOW):
    with work.reading(someone.viewer) as unit:
        planned = practise.plan_next(unit, bank, METHOD, topic, now)
    made = practise.make(bank, planned)
    with work.writing(someone.viewer) as unit:
        return practise.show_next(unit, planned, made, now)


def kept(work, someone, item_id):
    with work.reading(someone.viewer) as unit:
        return practice.shown(unit, item_id).kept


def answer(work, someone, item_id, right=True, now=NOW):
    sent = answer_to(kept(work, someone, item_id), right)
    with work.writing(someone.viewer) as unit:
        return practise.respond(unit, item_id, sent, now)


def known(work, someone):
    with work.reading(someone.viewer) as unit:
        return {row.topic: row for row in competencies.of_person(unit, someone.id)}


def test_an_answer_is_marked_kept_and_changes_what_is_known(work, plain):
    someone = a_person(work)
    marked = answer(work, someone, shown(work, someone, plain))
    assert marked.mark.score == 1.0
    after = known(work, someone)
    assert (after[TOPIC].n, after[TOPIC].right, after[""].n) == (1, 1, 1)
    assert after[TOPIC].mean > 0 and after[TOPIC].sd < 1
    assert after[TOPIC].updated_at == NOW


def test_a_second_answer_changes_nothing(work, plain):
    someone = a_person(work)
    item_id = shown(work, someone, plain)
    answer(work, someone, item_id, right=False)
    again = answer(work, someone, item_id, right=True)
    assert again.mark.score < 1.0
    assert known(work, someone)[TOPIC].n == 1


def test_the_same_submission_twice_is_kept_once(work, plain):
    someone = a_person(work)
    item_id = shown(work, someone, plain)
    first, second = (answer(work, someone, item_id) for _ in range(2))
    assert first == second
    assert known(work, someone)[TOPIC].n == 1


def test_an_open_scenario_waits_rather_than_being_swapped(work, plain):
    someone = a_person(work)
    item_id = shown(work, someone, plain)
    assert shown(work, someone, plain) == item_id
    answer(work, someone, item_id)
    assert shown(work, someone, plain) != item_id


def test_families_take_turns(work, plain):
    someone = a_person(work)
    seen = []
    for _ in range(5):
        item_id = shown(work, someone, plain)
        seen.append(kept(work, someone, item_id)["family"])
        answer(work, someone, item_id)
    assert len(set(seen)) == 5


def test_what_is_no_answer_is_refused_and_not_kept(work, plain):
    someone = a_person(work)
    item_id = shown(work, someone, plain)
    with work.writing(someone.viewer) as unit, pytest.raises(InputProblem):
        practise.respond(unit, item_id, {"choice": ["z"]}, NOW)
    assert known(work, someone)[TOPIC].n == 0


def test_somebody_elses_scenario_is_not_there(work, plain):
    someone, other = a_person(work), a_person(work)
    item_id = shown(work, someone, plain)
    with work.writing(other.viewer) as unit, pytest.raises(NotFound):
        practise.respond(unit, item_id, {"choice": ["a"]}, NOW)
    with work.reading(other.viewer) as unit, pytest.raises(NotFound):
        practise.see(unit, item_id)


def test_a_topic_without_questions_is_not_there(work, plain):
    someone = a_person(work)
    with work.reading(someone.viewer) as unit, pytest.raises(NotFound):
        practise.plan_next(unit, plain, METHOD, "astrology", NOW)


def test_before_the_answer_nothing_is_given_away(work, plain):
    someone = a_person(work)
    item_id = shown(work, someone, plain)
    with work.reading(someone.viewer) as unit:
        before = practise.see(unit, item_id)
        assert not isinstance(before, Marked)
        said = repr(before)
    for secret in (REASON, BELIEF, TEMPTS, "'key'", "explanation"):
        assert secret not in said
    answer(work, someone, item_id)
    with work.reading(someone.viewer) as unit:
        after = practise.see(unit, item_id)
    assert practise.explain(plain, after).why == REASON


def test_a_changed_bank_changes_no_past_answer(work, plain):
    someone = a_person(work)
    item_id = shown(work, someone, plain)
    before = answer(work, someone, item_id)
    with work.reading(someone.viewer) as unit:
        assert practise.see(unit, item_id) == before
    assert practise.explain(plain_bank("newer"), before).why == REASON


def test_history_pages_through_everything(work, plain):
    someone = a_person(work)
    for n in range(5):
        answer(work, someone, shown(work, someone, plain), now=NOW + timedelta(minutes=n))
    seen, key = [], ""
    with work.reading(someone.viewer) as unit:
        while True:
            found = practise.history(unit, key, 2)
            seen += [row.answered_at for row in found.rows]
            key = found.next
            if not key:
                break
        with pytest.raises(NotFound):
            practise.history(unit, "yesterday~x")
    assert seen == [NOW + timedelta(minutes=n) for n in (4, 3, 2, 1, 0)]


def test_do_now_says_why_and_follows_what_was_begun(work, plain):
    someone = a_person(work)
    with work.reading(someone.viewer) as unit:
        first = choose_practice.do_now(unit, plain, [], NOW)
    assert first.method == METHOD and "hurt" in first.reason and not first.waiting
    wanted = [choose_practice.Wanted(METHOD, "aftercare", 1.2)]
    with work.reading(someone.viewer) as unit:
        asked = choose_practice.do_now(unit, plain, wanted, NOW)
    assert (asked.topic, asked.reason) == (
        "aftercare",
        "Your instructor asked for this. It is due tomorrow.",
    )


def test_standings_are_words_and_move(work, plain):
    someone = a_person(work)
    with work.reading(someone.viewer) as unit:
        (before,) = see_competency.standings(unit, plain, someone.id)
    assert before.whole.band == "unknown" and before.whole.n == 0
    for n in range(30):
        answer(work, someone, shown(work, someone, plain), now=NOW + timedelta(minutes=n))
    with work.reading(someone.viewer) as unit:
        after = see_competency.standing_of(unit, plain, someone.id, METHOD, TOPIC)
    assert (after.band, after.n, after.right) == ("above", 30, 30)
    assert after.drawn.standard < after.drawn.low < after.drawn.mid <= after.drawn.high <= 1


def going_on(work, someone, bank, rights, topic=TOPIC):
    """Scenarios answered one after another: (family, content, came back) in the order shown."""
    seen = []
    for number, right in enumerate(rights):
        now = NOW + timedelta(minutes=number)
        item_id = shown(work, someone, bank, topic, now)
        with work.reading(someone.viewer) as unit:
            last = practice.lately(unit, 1)[0]
            seen.append((last.family, last.content, practice.shown(unit, item_id).again))
        answer(work, someone, item_id, right, now)
    return seen


@given(st.lists(st.booleans(), min_size=8, max_size=14))
@settings(max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_what_went_wrong_comes_back_after_three_to_six_others(sqlite_work, rights):
    seen = going_on(sqlite_work, a_person(sqlite_work), plain_bank(), rights)
    for place, right in enumerate(rights):
        later = [family for family, _, _ in seen[place + 1 :]]
        if not right and len(later) > 6:
            assert seen[place][0] in later[3:7]
    assert all(not back for _, _, back in seen[: 1 + (rights + [False]).index(False) + 3])


@given(st.sampled_from(["tape_in", "sewn_weft"]), st.integers(0, 10**6))
@settings(max_examples=3, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_same_content_does_not_come_back_within_thirty(sqlite_work, bank, method, seed):
    """On the shipped bank, over all topics of a method, answers right and wrong in turn.

    Consultations aside: they are held step by step, in a room of their own.
    """
    someone = a_person(sqlite_work)
    topics = [t for t in choose_practice.topics_there(bank)[method] if t != "consultation"]
    seen = []
    for number in range(40):
        draw, now = Draw(seed, number), NOW + timedelta(minutes=number)
        with sqlite_work.reading(someone.viewer) as unit:
            planned = practise.plan_next(unit, bank, method, draw.one(topics), NOW)
        made = practise.make(bank, planned)
        with sqlite_work.writing(someone.viewer) as unit:
            item_id = practise.show_next(unit, planned, made, now)
            item = made.item
            key = item.key if draw.chance(0.7) else WRONG[item.heading.type](item)
            practise.respond(unit, item_id, as_sent(item, key), now)
        if not planned.again:
            assert made.content not in seen[-30:], item.heading.id
        seen.append(made.content)


def test_a_topic_with_nothing_new_left_shows_what_was_seen_longest_ago(plain):
    family = f"{TOPIC}_choose_one.{METHOD}"
    planned = practise.Planned(METHOD, TOPIC, family=family, seed=1, level="working")
    contents = []
    for seed in practise._seeds(planned, family):
        made = practise.make(plain, replace(planned, seed=seed))
        contents.append(made.content)
    again = practise.make(plain, replace(planned, seen=tuple(contents)))
    assert again.content == contents[-1]
