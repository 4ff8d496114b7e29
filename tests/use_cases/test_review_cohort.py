"""Who needs the instructor, who is stuck, which wrong idea is behind it; one member's page."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, PASSWORD, PASSWORDS, a_person, an_organisation
from tests.support.plain_bank import BELIEF, METHOD, REASON, plain_bank
from tests.support.practised import a_sitting, answer, answers
from tests.support.records import signing_with
from trainer.store import people
from trainer.use_cases import (
    assign_module,
    certify,
    keep_people,
    review_cohort,
    review_member,
    sign_in,
    sign_off,
)
from trainer.use_cases.refusals import Forbidden, NotFound

TOPIC = "removal_safety"


@pytest.fixture
def plain():
    return plain_bank()


@pytest.fixture
def boss(work):
    return a_person(work, "instructor")


@pytest.fixture
def learner(work, boss):
    return a_person(work, organisation=boss.organisation, name="Ama Owusu")


def overview(work, bank, issuing, boss, group="", now=NOW):
    with work.reading(boss.viewer) as unit:
        return review_cohort.overview(unit, bank, group, now)


def test_who_is_often_wrong_is_stuck_and_the_wrong_idea_is_named(
    work, plain, issuing, boss, learner
):
    able = a_person(work, organisation=boss.organisation, name="Bruno Keller")
    answers(work, plain, learner, 12, right=False)
    answers(work, plain, able, 12, right=True)
    found = overview(work, plain, issuing, boss)
    (one,) = found.stuck
    assert one.name == "Ama Owusu"
    (spot,) = one.spots
    assert (spot.method, spot.topic, spot.stand.n, spot.stand.right) == (METHOD, TOPIC, 12, 0)
    assert spot.idea.id == BELIEF and spot.idea.times >= 2
    assert found.topics == ((METHOD, TOPIC, ("Ama Owusu",)),)
    assert [(idea.id, idea.names) for idea in found.ideas] == [(BELIEF, ("Ama Owusu",))]
    assert found.methods == (METHOD,)


def test_few_answers_call_nobody_stuck(work, plain, issuing, boss, learner):
    answers(work, plain, learner, review_cohort.ENOUGH - 1, right=False)
    assert overview(work, plain, issuing, boss).stuck == ()


def test_a_group_narrows_everything(work, plain, issuing, boss, learner):
    other = a_person(work, organisation=boss.organisation, name="Bruno Keller")
    with work.writing(boss.viewer) as unit:
        group = keep_people.make_group(unit, "Evening")
        people.set_groups(unit, other.id, [group])
    answers(work, plain, learner, 12, right=False)
    found = overview(work, plain, issuing, boss, group)
    assert [one.name for one in found.people] == ["Bruno Keller"]
    assert (found.stuck, found.ideas, found.methods) == ((), (), ())


def test_a_large_house_is_shown_some_names_at_a_time(work, plain, boss, monkeypatch):
    monkeypatch.setattr(review_cohort, "PAGE", 2)
    for name in ("Cy", "Ada", "Bo", "Di", "Cy"):
        a_person(work, organisation=boss.organisation, name=name)
    shown, after = [], ""
    with work.reading(boss.viewer) as unit:
        while after is not None:
            found = review_cohort.overview(unit, plain, "", NOW, after)
            assert 1 <= len(found.people) <= 2
            shown += [one.name for one in found.people]
            after = found.next
        first = review_cohort.overview(unit, plain, "", NOW, "somebody who is gone")
    assert shown == ["Ada", "Bo", "Cy", "Cy", "Di"]
    assert [one.name for one in first.people] == ["Ada", "Bo"]


def test_overdue_names_only_who_is_late(work, plain, issuing, boss, learner):
    done = a_person(work, organisation=boss.organisation, name="Bruno Keller")
    wish = assign_module.Wish(
        "Off", [METHOD], [TOPIC], 5, NOW.date(), person_ids=[learner.id, done.id]
    )
    with work.writing(boss.viewer) as unit:
        assign_module.create(unit, plain, wish, ("", ""), NOW)
    answers(work, plain, done, 5, right=True)
    assert overview(work, plain, issuing, boss).late == ()
    (late,) = overview(work, plain, issuing, boss, now=NOW + timedelta(days=1)).late
    assert [one.name for one in late.learners] == ["Ama Owusu"]


def test_a_passed_assessment_waits_for_the_services_not_yet_watched(
    work, bank, issuing, boss, learner
):
    with work.writing(boss.viewer) as unit:
        unit.session.add(a_sitting(learner, "tape_in", True))
        unit.session.flush()
        certify.consider(unit, bank, learner.id, learner.organisation, "tape_in", issuing, NOW)
    (waits,) = overview(work, bank, issuing, boss).waiting
    assert waits.services == ("fit", "maintain", "remove")
    ticked = frozenset(one.id for one in bank.criteria_of("tape_in", "maintain"))
    watched = sign_off.Watched(learner.id, "tape_in", "maintain", ticked, "", NOW.date())
    proven = sign_in.prove(work, boss.viewer, PASSWORDS, PASSWORD, NOW)
    with work.writing(boss.viewer) as unit:
        sign_off.sign(unit, bank, watched, proven, signing_with(issuing), NOW)
    (waits,) = overview(work, bank, issuing, boss).waiting
    assert waits.services == ("fit", "remove")


def test_another_house_sees_nothing(work, plain, issuing, boss, learner):
    answers(work, plain, learner, 3, right=False)
    with work.writing(boss.viewer) as unit:
        group = keep_people.make_group(unit, "Evening")
    stranger = a_person(work, "instructor")
    assert overview(work, plain, issuing, stranger).people == ()
    with pytest.raises(NotFound):
        overview(work, plain, issuing, stranger, group)
    with work.reading(stranger.viewer) as unit, pytest.raises(NotFound):
        review_member.see(unit, plain, learner.id, NOW)
    with work.reading(learner.viewer) as unit, pytest.raises(Forbidden):
        review_cohort.overview(unit, plain, "", NOW)


def test_a_members_page_gathers_what_is_known(work, plain, boss, learner):
    answers(work, plain, learner, 10, right=False)
    with work.writing() as unit:
        unit.session.add(a_sitting(learner, METHOD, False))
    with work.reading(boss.viewer) as unit:
        found = review_member.see(unit, plain, learner.id, NOW)
    assert found.name == "Ama Owusu"
    assert found.standings[0].whole.n == 10
    assert len(found.answers.rows) == review_member.FEW and found.answers.next
    assert [one.passed for one in found.sittings] == [False]
    assert found.ideas[0].id == BELIEF


def test_answers_are_paged_by_key_and_shown_with_key_and_reason(work, plain, boss, learner):
    answers(work, plain, learner, 7, right=False)
    seen, place = [], ""
    with work.reading(boss.viewer) as unit:
        while True:
            page = review_member.page_of_answers(unit, learner.id, place, 3)
            seen += [row.item_id for row in page.rows]
            place = page.next
            if not place:
                break
        one = review_member.one_answer(unit, plain, learner.id, seen[0])
        with pytest.raises(NotFound):
            review_member.page_of_answers(unit, learner.id, "yesterday~x")
    assert len(seen) == len(set(seen)) == 7
    assert not one.feedback.right and one.feedback.why == REASON and one.feedback.key_lines


def test_answers_given_elsewhere_stay_there(work, plain, boss, learner):
    place = an_organisation(work)
    with work.writing() as unit:
        keep_people.join(unit, learner.id, place, ("apprentice",), NOW)
    answer(work, plain, learner, False)
    other = a_person(work, "instructor", organisation=place)
    with work.reading(boss.viewer) as unit:
        (mine,) = review_member.page_of_answers(unit, learner.id, "").rows
    with work.reading(other.viewer) as unit:
        assert list(review_member.page_of_answers(unit, learner.id, "").rows) == []
        with pytest.raises(NotFound):
            review_member.one_answer(unit, plain, learner.id, mine.item_id)
        assert review_member.see(unit, plain, learner.id, NOW).ideas == ()
