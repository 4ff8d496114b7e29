"""Top-ups: who leans on the old words, who is held back when, and what the desk says."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.records.asked import Question
from trainer.core.records.clearance import clear
from trainer.core.records.house_rules import Backing, HouseRules
from trainer.core.records.standing import Progress, Standing
from trainer.core.records.top_up import TopUp, leaned_on

SINCE, BY = date(2026, 5, 4), date(2026, 5, 20)
ASKED = Question("Noor Haddad", "tape-in", "maintain", BY)
NOTHING = Progress(started=True, passed_on=None, observed=frozenset())
COMPETENT = Standing("competent", date(2026, 12, 31), "r1")
REQUIRED = TopUp("Move tapes up after 4 to 6 weeks.", SINCE, BY, required=True)
PLAIN = HouseRules(30)


def on(day, *top_ups, urgent=False, service="maintain", standing=COMPETENT):
    asked = replace(ASKED, on=day, service=service, urgent=urgent)
    return clear(asked, standing, NOTHING, PLAIN, backing=Backing(top_ups=top_ups))


def test_until_its_day_it_is_cleared_and_says_when_it_is_due():
    found = on(BY, REQUIRED)
    assert found.answer == "cleared"
    assert [one.ground for one in found.reasons] == ["record_in_force", "top_up_due"]
    assert "20 May 2026" in found.reason and "supervised only" in found.would_change_it


def test_after_its_day_it_is_supervised_only_with_the_new_words():
    found = on(BY + timedelta(days=1), REQUIRED)
    assert found.answer == "supervised_only"
    assert [one.ground for one in found.reasons] == ["top_up_overdue", "record_in_force"]
    assert REQUIRED.said in found.reason
    assert "answers the top-up's questions" in found.would_change_it


@pytest.mark.parametrize("service", ["consult", "fit", "aftercare"])
def test_it_holds_for_every_service_not_only_for_hands_on_hair(service):
    late = BY + timedelta(days=1)
    assert on(late, REQUIRED, service=service).answer == "supervised_only"


def test_finished_it_holds_nobody_back_and_says_nothing():
    done = replace(REQUIRED, done_on=BY + timedelta(days=3))
    assert on(BY + timedelta(days=2), done).answer == "supervised_only"
    found = on(BY + timedelta(days=3), done)
    assert (found.answer, len(found.reasons)) == ("cleared", 1)


def test_one_that_is_only_offered_holds_nobody_back():
    found = on(BY + timedelta(days=90), replace(REQUIRED, required=False))
    assert (found.answer, len(found.reasons)) == ("cleared", 1)


def test_a_removal_that_cannot_wait_is_not_held_back():
    late = BY + timedelta(days=1)
    assert on(late, REQUIRED, service="remove", urgent=True).answer == "cleared"


def test_it_never_lets_anybody_in():
    late = BY + timedelta(days=1)
    for word in ("not_started", "expired", "suspended"):
        standing = Standing(word, date(2026, 5, 1))
        assert on(late, REQUIRED, standing=standing) == on(late, standing=standing)


DAYS = st.dates(date(2026, 1, 1), date(2026, 12, 1))


@given(DAYS, DAYS, st.none() | DAYS, st.booleans())
def test_on_a_day_it_holds_back_or_is_due_or_neither(day, by, done_on, required):
    one = TopUp("So.", SINCE, by, required, done_on)
    holds, due = one.holds_back(day), one.is_due(day)
    assert not (holds and due)
    assert (holds or due) is (required and one.open_on(day) and (day > by or day >= SINCE))


def test_of_a_day_before_the_change_nothing_is_said():
    found = on(SINCE - timedelta(days=1), REQUIRED)
    assert [one.ground for one in found.reasons] == ["record_in_force"]


def test_that_days_questions_may_have_had_either_words():
    assert leaned_on(None, SINCE) and leaned_on(SINCE, SINCE)
    assert not leaned_on(SINCE + timedelta(days=1), SINCE)
