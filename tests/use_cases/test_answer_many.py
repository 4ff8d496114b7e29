"""Many answers at once: as each alone, in few statements, from summaries as from records."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import a_record
from tests.support.statements import counted
from trainer.core.knowledge.words import SERVICES
from trainer.core.records.asked import Question
from trainer.core.records.house_rules import HouseRules
from trainer.use_cases import clear_for_service, keep_house_rules, keep_people, withdraw
from trainer.use_cases.clear_for_service import Ask
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.weigh_clearance import read_kept

GRACE = 30
SITE = HouseRules(GRACE, status_days=14)
DAY = NOW.date()


@pytest.fixture
def team(work, bank, earned, issuing, salon):
    """Three who work there: with a record, with a suspended one, with nothing."""
    academy = an_organisation(work)
    found = [a_person(work, organisation=academy, name=n) for n in ("Ada Lowe", "Bo Hart", "Cy")]
    boss = a_person(work, "instructor", organisation=academy)
    for someone in found:
        with work.writing() as unit:
            keep_people.join(unit, someone.id, salon, ("apprentice",), NOW)
    a_record(work, bank, earned, issuing, found[0])
    stopped = a_record(work, bank, earned, issuing, found[1])
    with work.writing(boss.viewer) as unit:
        withdraw.suspend(unit, stopped, "Complaint being looked into.", NOW)
    return found


def asks_of(team, bank, days):
    return [
        Ask(one.id, method, service, day)
        for one in team
        for method in list(bank.methods)[:3]
        for service in SERVICES
        for day in days
    ]


def test_many_are_answered_as_each_alone_in_few_statements(work, bank, desk, team):
    asks = asks_of(team, bank, (DAY - timedelta(days=9), DAY, DAY + timedelta(days=380)))
    with counted(work) as sent, work.reading(desk.viewer) as unit:
        found = clear_for_service.answer_many(unit, bank, asks, GRACE)
    assert len(sent) <= 7
    assert [one.ask for one in found] == asks
    with work.reading(desk.viewer) as unit:
        for one in found[::17]:
            alone = clear_for_service.answer(unit, bank, one.ask, GRACE)
            assert (alone.clearance, alone.person) == (one.clearance, one.person)
    assert {one.clearance.answer for one in found} == {
        "cleared",
        "supervised_only",
        "not_cleared",
    }


def test_summaries_say_of_today_and_later_what_records_say(work, bank, desk, team):
    days = (DAY, DAY + timedelta(days=365), DAY + timedelta(days=366), DAY + timedelta(days=400))
    ids = [one.id for one in team]
    with work.reading(desk.viewer) as unit:
        whole = read_kept(unit, bank, ids, GRACE)
        short = read_kept(unit, bank, ids, GRACE, with_records=False)
    for ask in asks_of(team, bank, days):
        asked = Question("Ada", "tape-in", ask.service, ask.on)
        assert short.clearance(ask.person_id, asked, ask.method) == whole.clearance(
            ask.person_id, asked, ask.method
        )


def test_a_house_rule_sets_the_whole_house_back_and_stays_as_history(work, bank, desk, team):
    asked = Ask(team[0].id, "tape_in", "fit", DAY)

    def now_answers(ask=asked):
        with work.reading(desk.viewer) as unit:
            (found,) = clear_for_service.answer_many(unit, bank, [ask], GRACE)
        return found.clearance

    with work.writing(desk.viewer) as unit:
        keep_house_rules.set_rules(
            unit, bank, "tape_in", HouseRules(GRACE, supervised_clients=2), SITE, NOW
        )
    assert now_answers().answer == "supervised_only"
    assert "2 more clients" in now_answers().would_change_it
    assert now_answers(replace(asked, service="consult")).answer == "cleared"
    urgent = replace(asked, service="remove", urgent=True)
    assert now_answers(urgent).answer == "cleared"
    with work.writing(desk.viewer) as unit:
        later = NOW + timedelta(hours=1)
        keep_house_rules.set_rules(unit, bank, "tape_in", HouseRules(GRACE), SITE, later)
        keep_house_rules.set_rules(unit, bank, "", HouseRules(0), SITE, later)
    assert now_answers().answer == "cleared"
    assert now_answers(replace(asked, on=date(2027, 3, 4))).answer == "not_cleared"
    with work.reading(desk.viewer) as unit:
        told = keep_house_rules.history(unit, SITE)
        held = keep_house_rules.set_here(unit, SITE)
    assert [one.method for one in held] == ["", "tape_in"]
    assert len(told) == 3 and told[-1].rules.supervised_clients == 2 and not told[-1].in_force


@pytest.mark.parametrize(
    ("method", "rules", "field"),
    [
        ("tape_in", HouseRules(31), "grace_days"),
        ("tape_in", HouseRules(30, status_days=15), "status_days"),
        ("glue_gun", HouseRules(30), "method"),
        ("", HouseRules(30, refresh_months=61), "refresh_months"),
        ("", HouseRules(30, supervised_clients=51), "supervised_clients"),
    ],
)
def test_a_rule_that_cannot_hold_is_refused(work, bank, desk, method, rules, field):
    with work.writing(desk.viewer) as unit, pytest.raises(InputProblem) as found:
        keep_house_rules.set_rules(unit, bank, method, rules, SITE, NOW)
    assert found.value.where == field


def test_rules_of_another_house_do_not_reach_here(work, bank, desk, team):
    other = a_person(work, "salon_manager")
    with work.writing(other.viewer) as unit:
        rules = HouseRules(0, True, 1, 9)
        keep_house_rules.set_rules(unit, bank, "", rules, SITE, NOW)
    asked = Ask(team[0].id, "tape_in", "fit", DAY)
    with work.reading(desk.viewer) as unit:
        (found,) = clear_for_service.answer_many(unit, bank, [asked], GRACE)
        assert found.clearance.answer == "cleared"
        assert keep_house_rules.history(unit, SITE) == []
    with work.reading(other.viewer) as unit, pytest.raises(NotFound):
        clear_for_service.answer_many(unit, bank, [asked], GRACE)


def test_who_may_ask_and_set(work, bank, team):
    asked = Ask(team[0].id, "tape_in", "fit", DAY)
    with work.reading(team[0].viewer) as unit, pytest.raises(Forbidden):
        clear_for_service.answer_many(unit, bank, [asked], GRACE)
    trainer = a_person(work, "instructor")
    with work.writing(trainer.viewer) as unit, pytest.raises(Forbidden):
        keep_house_rules.set_rules(unit, bank, "", HouseRules(0), SITE, NOW)


def test_only_a_removal_cannot_wait(work, bank, desk, team):
    asked = Ask(team[0].id, "tape_in", "fit", DAY, urgent=True)
    with work.reading(desk.viewer) as unit, pytest.raises(InputProblem, match="removal"):
        clear_for_service.answer_many(unit, bank, [asked], GRACE)


def test_who_else_may_do_it(work, bank, desk, team):
    asked = Ask(team[2].id, "tape_in", "fit", DAY)
    with work.reading(desk.viewer) as unit:
        assert clear_for_service.who_is_cleared(unit, bank, asked, GRACE) == [
            (team[0].id, "Ada Lowe")
        ]
        own = replace(asked, person_id=team[0].id)
        assert clear_for_service.who_is_cleared(unit, bank, own, GRACE) == []
