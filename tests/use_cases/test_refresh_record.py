"""A refresh set: open near the end, shorter for sound practice, sat like the full assessment."""

from datetime import timedelta

import pytest

from tests.support.admitted import begun
from tests.support.people import NOW, a_person, an_organisation
from tests.support.practised import a_sitting
from tests.support.records import Earned, a_record, evidence
from trainer.core.draw import Draw
from trainer.core.items.codec import from_kept
from trainer.store import answers, competencies, events, sittings
from trainer.use_cases import (
    certify,
    finish_sitting,
    refresh_record,
    review_cohort,
    sit_assessment,
    withdraw,
)
from trainer.use_cases.demo_learner import answer
from trainer.use_cases.refusals import InputProblem, NotFound

METHOD = "tape_in"
NEAR = NOW.replace(year=2027) - timedelta(days=30)


@pytest.fixture
def earned(monkeypatch):
    made = Earned({})
    made.put_in_place(monkeypatch)
    monkeypatch.setattr(refresh_record, "gather", made.gather)
    return made


@pytest.fixture
def holder(work):
    return a_person(work, organisation=an_organisation(work))


@pytest.fixture
def record_id(work, bank, earned, issuing, holder):
    return a_record(work, bank, earned, issuing, holder)


def offer(work, bank, holder, now=NEAR, method=METHOD):
    with work.reading(holder.viewer) as unit:
        return refresh_record.offer(unit, bank, method, now)


def begin(work, bank, holder, now=NEAR):
    prepared = refresh_record.prepare(bank, offer(work, bank, holder, now))
    return begun(work, bank, holder, METHOD, prepared, now)


def practised(work, monkeypatch, holder, mean, given, harmful=0):
    known = {"person_id": holder.id, "method": METHOD, "topic": "", "mean": mean, "sd": 0.3}
    rest = {"n": 60, "right": 55, "updated_at": NEAR, "waiting_id": None}
    with work.writing() as unit:
        competencies.keep(unit, [known | rest])
    monkeypatch.setattr(answers, "recent", lambda *_: (given, harmful))


def finish(work, bank, holder, sitting_id, right=True):
    draw = Draw("refresh test")
    with work.writing(holder.viewer) as unit:
        row = sittings.own(unit, sitting_id)
        for shown in sit_assessment.places_of(unit, row):
            item = from_kept(sittings.item(unit, sitting_id, shown.position).kept)
            sent = answer(item, right, draw.branch(shown.position))
            sit_assessment.save_answer(unit, sitting_id, shown.position, sent, "", NEAR)
    with work.writing(holder.viewer) as unit:
        return finish_sitting.finish(unit, bank, sitting_id, NEAR)


@pytest.mark.usefixtures("record_id")
@pytest.mark.parametrize(
    ("days", "said"),
    [(70, "no record to refresh"), (60, ""), (0, ""), (-30, ""), (-31, "no record to refresh")],
)
def test_it_is_open_near_the_end_and_a_little_after(work, bank, holder, days, said):
    found = offer(work, bank, holder, NOW.replace(year=2027) - timedelta(days=days))
    assert said in found.why_not and bool(found.why_not) is bool(said)


def test_without_a_record_or_after_a_stop_the_full_assessment_is_the_way(
    work, bank, holder, record_id
):
    assert offer(work, bank, a_person(work)).why_not
    with pytest.raises(NotFound):
        offer(work, bank, holder, method="glue_gun")
    boss = a_person(work, "instructor", organisation=holder.organisation)
    with work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, record_id, "A complaint is being looked into.", NEAR)
    assert offer(work, bank, holder).why_not


@pytest.mark.usefixtures("record_id")
@pytest.mark.parametrize(
    ("mean", "given", "harmful", "items"),
    [(3.0, 20, 0, 14), (3.0, 19, 0, 20), (3.0, 20, 1, 20), (-1.0, 40, 0, 20)],
)
def test_sound_practice_makes_it_shorter(
    work, bank, monkeypatch, holder, mean, given, harmful, items
):
    practised(work, monkeypatch, holder, mean, given, harmful)
    found = offer(work, bank, holder)
    assert (found.blueprint.items, found.full, found.short) == (items, 40, items == 14)


@pytest.mark.usefixtures("record_id")
def test_it_is_drawn_sat_and_decided_like_the_full_one(
    work, bank, monkeypatch, earned, issuing, holder
):
    practised(work, monkeypatch, holder, 3.0, 30)
    sitting_id = begin(work, bank, holder)
    assert begin(work, bank, holder) == sitting_id
    with work.reading(holder.viewer) as unit:
        row = sittings.own(unit, sitting_id)
        kept = [from_kept(one.kept) for one in sittings.items(unit, sitting_id)]
        assert events.last(unit).kind == "sitting.begun"
    assert (row.most, row.cut, row.minutes, row.blueprint) == (14, 11, 21, "bonded refresh")
    assert sum(item.critical for item in kept) >= 12
    done = finish(work, bank, holder, sitting_id)
    assert (done.state, done.passed, done.score) == ("done", True, 14)
    on = NEAR.date()
    earned.known[holder.id, METHOD] = evidence(sitting_id, on, observed_on=on)
    with work.writing(holder.viewer) as unit:
        assert certify.consider(unit, bank, holder.id, holder.organisation, METHOD, issuing, NEAR)
    assert "passed already" not in offer(work, bank, holder, NEAR + timedelta(days=1)).why_not


@pytest.mark.usefixtures("record_id")
def test_fresh_questions_keep_their_time_in_a_short_set(work, bank, monkeypatch, holder):
    practised(work, monkeypatch, holder, 3.0, 30)
    row = finish(work, bank, holder, begin(work, bank, holder), right=False)
    assert row.state == "confirm"
    with work.reading(holder.viewer) as unit:
        fresh = len(sittings.places(unit, row.id, "confirm"))
    assert row.closes_at - NEAR == timedelta(minutes=2 * fresh)


@pytest.mark.usefixtures("record_id")
def test_once_it_was_not_passed_the_full_one_is_next(work, bank, holder):
    with work.writing() as unit:
        unit.session.add(a_sitting(holder, METHOD, False, NEAR - timedelta(days=20)))
    found = offer(work, bank, holder)
    assert "full assessment is next" in found.why_not
    with pytest.raises(InputProblem, match="no record to refresh"):
        begun(work, bank, holder, METHOD, refresh_record.prepare(bank, found), NEAR)


@pytest.mark.usefixtures("record_id")
def test_once_passed_only_the_chair_is_left(work, bank, earned, issuing, holder):
    boss = a_person(work, "instructor", organisation=holder.organisation)
    with work.reading(boss.viewer) as unit:
        assert review_cohort.waiting(unit, bank, NEAR) == ()
    earned.known[holder.id, METHOD] = evidence("s2", NEAR.date())
    assert "only work at the chair" in offer(work, bank, holder).why_not
    with work.writing(holder.viewer) as unit:
        place = holder.organisation
        assert certify.consider(unit, bank, holder.id, place, METHOD, issuing, NEAR) is None
    with work.reading(boss.viewer) as unit:
        (waits,) = review_cohort.waiting(unit, bank, NEAR)
    assert (waits.person_id, waits.services) == (holder.id, ("fit", "maintain", "remove"))
