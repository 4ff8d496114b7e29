"""A pause: the clock stands still, no question is shown, and the same one comes back."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from tests.support.plain_bank import answer_to, plain_bank
from tests.use_cases.test_sit_assessment import SOON, Sitter
from trainer.core.marking.accommodation import Accommodation
from trainer.store import events, sittings
from trainer.use_cases import pause_sitting, sit_assessment
from trainer.use_cases.refusals import InputProblem, NotFound

TEN = timedelta(minutes=10)


@pytest.fixture
def sitter(work):
    return Sitter(work, plain_bank(), granted=Accommodation(0, 2, 10))


def pause(sitter, position=3, now=SOON, sent=None):
    with sitter.work.writing(sitter.someone.viewer) as unit:
        pause_sitting.pause(unit, sitter.id, position, sent or {}, f"{now}", now)


def go_on(sitter, now):
    with sitter.work.writing(sitter.someone.viewer) as unit:
        pause_sitting.go_on(unit, sitter.id, now)


def state(sitter, now):
    with sitter.work.reading(sitter.someone.viewer) as unit:
        return sit_assessment.state_of(unit, sitter.id, now)


def test_the_same_question_with_the_same_time_left(sitter):
    before = sitter.page(3).seconds_left
    pause(sitter)
    pause(sitter, now=SOON + timedelta(minutes=1))
    later = SOON + timedelta(minutes=7)
    assert state(sitter, later) == "paused"
    with pytest.raises(NotFound):
        sitter.page(3, later)
    with pytest.raises(InputProblem, match="pause"):
        sitter.save(sitter.items()[0], now=later)
    go_on(sitter, later)
    go_on(sitter, later)
    page = sitter.page(now=later)
    assert (page.here.number, page.seconds_left) == (3, before)
    with sitter.work.reading(sitter.someone.viewer) as unit:
        kinds = [one.kind for one in events.all_in_order(unit)]
        assert kinds.count("sitting.paused") == kinds.count("sitting.went_on") == 1


def test_what_the_page_held_is_kept(sitter):
    row = sitter.items()[2]
    pause(sitter, sent=answer_to(row.kept))
    with sitter.work.reading(sitter.someone.viewer) as unit:
        assert sittings.item(unit, sitter.id, 3).answer is not None


def test_it_ends_by_itself_and_there_are_only_so_many(sitter):
    pause(sitter)
    over = SOON + TEN
    assert state(sitter, over) == "open"
    assert sitter.page(now=over + timedelta(minutes=5)).seconds_left == 45 * 60
    pause(sitter, now=over + timedelta(minutes=5))
    go_on(sitter, over + timedelta(minutes=6))
    with pytest.raises(InputProblem, match="no pause is left"):
        pause(sitter, now=over + timedelta(minutes=7))
    assert sitter.page(now=over + timedelta(minutes=7)).seconds_left == 44 * 60


def test_the_time_still_ends_and_the_decision_counts_it(sitter):
    pause(sitter)
    end = NOW + timedelta(minutes=70)
    sitter.save(sitter.items()[0], now=end)
    assert state(sitter, end + timedelta(minutes=1)) == "lapsed"
    with pytest.raises(InputProblem, match="time is over"):
        pause(sitter, now=end + timedelta(minutes=1))
    assert sitter.finish(end + timedelta(minutes=1)).state == "done"
    with pytest.raises(NotFound):
        go_on(sitter, end)


def test_without_one_granted_there_is_none_and_nobody_pauses_anothers(work):
    sitter = Sitter(work, plain_bank())
    with pytest.raises(InputProblem, match="no pause is left"):
        pause(sitter)
    with pytest.raises(NotFound), work.writing(a_person(work).viewer) as unit:
        pause_sitting.pause(unit, sitter.id, 1, {}, "", SOON)
