"""A top-up that the house requires: the desk, the team, its gaps and its week say the same."""

from datetime import timedelta

import pytest

from tests.support.changed import METHOD, finish
from tests.support.elsewhere import OTHER, accept, check, keep
from tests.support.people import NOW, a_person
from tests.support.records import a_record, evidence
from tests.support.statements import counted
from trainer.core.knowledge.words import SERVICES
from trainer.use_cases import (
    certify,
    clear_for_service,
    keep_people,
    list_team,
    offer_top_up,
    see_house,
    see_team,
    take_top_up,
)
from trainer.use_cases.clear_for_service import Ask
from trainer.use_cases.offer_top_up import Wish
from trainer.use_cases.see_team import Wanted
from trainer.use_cases.work import Viewer

GRACE = 30
DUE = NOW.date() + timedelta(days=10)
LATE = DUE + timedelta(days=1)
LATER = NOW + timedelta(days=11)


@pytest.fixture
def team(work, bank, earned, issuing, salon):
    """Ada with a record from before, Bo with one from after, Cy with an assessment alone."""
    found = [a_person(work, name=name) for name in ("Ada Lowe", "Bo Hart", "Cy Örs")]
    for someone in found:
        with work.writing() as unit:
            keep_people.join(unit, someone.id, salon, ("apprentice",), NOW)
    ada, bo, cy = found
    a_record(work, bank, earned, issuing, ada)
    earned.known[bo.id, METHOD] = evidence("s-bo", passed_on=NOW.date())
    a_record(work, bank, earned, issuing, bo)
    earned.known[cy.id, METHOD] = evidence("s-cy", observed=("fit",))
    with work.writing() as unit:
        certify.consider(unit, bank, cy.id, cy.organisation, METHOD, issuing, NOW)
    return found


@pytest.fixture
def required(work, bank, a_change, desk, team):
    change_id = a_change(work, bank)
    with work.writing(desk.viewer) as unit:
        offer_top_up.offer(unit, change_id, Wish(5, DUE, True), NOW)
    return change_id


def cleared(work, bank, desk, someone, service="fit", on=LATE):
    with work.reading(desk.viewer) as unit:
        ask = Ask(someone.id, METHOD, service, on)
        return clear_for_service.answer(unit, bank, ask, GRACE).clearance


def in_salon(someone, salon):
    """The same person, as they look at the salon."""
    viewer = Viewer(someone.id, salon, frozenset({"apprentice"}))
    return type(someone)(someone.id, someone.email, salon, viewer)


def test_before_the_day_cleared_after_it_supervised_and_finished_cleared(
    work, bank, desk, salon, team, required
):
    ada, bo, _ = team
    before = cleared(work, bank, desk, ada, on=DUE)
    assert (before.answer, before.reasons[-1].ground) == ("cleared", "top_up_due")
    late = cleared(work, bank, desk, ada)
    assert (late.answer, late.reasons[0].ground) == ("supervised_only", "top_up_overdue")
    assert "0 to about 1 mm" in late.reason
    assert cleared(work, bank, desk, ada, "remove").answer == "cleared"
    assert len(cleared(work, bank, desk, bo).reasons) == 1
    finish(work, bank, in_salon(ada, salon), required, LATER)
    assert cleared(work, bank, desk, ada).answer == "cleared"


def test_another_house_holds_nobody_back(work, bank, desk, team, required):
    ada = team[0]
    boss = a_person(work, "instructor", organisation=ada.organisation)
    assert len(cleared(work, bank, boss, ada).reasons) == 1


def test_every_picture_says_what_the_desk_says(work, bank, desk, team, required):
    ids = [one.id for one in team]
    with work.reading(desk.viewer) as unit:
        page = see_team.page(unit, bank, Wanted(LATE), None, GRACE)
        asks = [Ask(one, METHOD, service, LATE) for one in ids for service in SERVICES]
        told = clear_for_service.answer_many(unit, bank, asks, GRACE)
        everything = clear_for_service.everything(unit, bank, ids[0], LATE, GRACE)
        house, _ = see_house.see_house(unit, bank, GRACE, LATER, LATER.date())
        named = list_team.page(unit, "", 10).people
        list_team.stand(unit, bank, named, LATE, GRACE)
    shown = {line.person_id: line.cells[METHOD] for line in page.lines}
    said = {(one.ask.person_id, one.ask.service): one.clearance.answer for one in told}
    assert said == {(one, s): shown[one][s].answer for one in ids for s in SERVICES}
    assert {s: said[ids[0], s] for s in SERVICES} == {
        one.ask.service: one.clearance.answer for one in everything if one.ask.method == METHOD
    }
    assert said[ids[0], "fit"] == "supervised_only"
    assert house.can[METHOD]["fit"] == sum(said[one, "fit"] == "cleared" for one in ids) == 1
    assert house.can[METHOD]["remove"] == 2


@pytest.mark.parametrize(("days_old", "expected"), [(30, "supervised_only"), (0, "cleared")])
def test_a_record_from_elsewhere_goes_by_its_first_day(
    work, bank, desk, salon, required, days_old, expected
):
    dee = a_person(work, organisation=salon, name="Dee Ash")
    accept(work, bank, desk)
    content = OTHER.record("Dee Ash", since=NOW - timedelta(days=days_old))
    check(work, desk, keep(work, bank, desk, dee, content))
    found = cleared(work, bank, desk, dee)
    assert found.answer == expected, found
    with work.reading(dee.viewer) as unit:
        asked = take_top_up.mine(unit, bank, NOW)
    assert len(asked) == (1 if days_old else 0)
    with work.reading(desk.viewer) as unit:
        page = see_team.page(unit, bank, Wanted(LATE, letters="dee"), None, GRACE)
    assert page.lines[0].cells[METHOD]["fit"].answer == expected


def test_who_else_is_cleared_leaves_out_whoever_is_late(work, bank, desk, team, required):
    _, bo, cy = team
    with work.reading(desk.viewer) as unit:
        ask = Ask(cy.id, METHOD, "fit", LATE)
        found = clear_for_service.who_is_cleared(unit, bank, ask, GRACE)
    assert [one for one, _ in found] == [bo.id]


def test_it_takes_as_many_statements_however_many_people(work, bank, desk, team, required):
    def sent(count):
        asks = [Ask(one.id, METHOD, "fit", LATE) for one in team[:count]]
        with counted(work) as spent, work.reading(desk.viewer) as unit:
            clear_for_service.answer_many(unit, bank, asks, GRACE)
        return len(spent)

    assert sent(3) == sent(1) <= 8
    with counted(work) as spent, work.reading(desk.viewer) as unit:
        see_team.page(unit, bank, Wanted(LATE), None, GRACE)
    assert len(spent) <= 8
