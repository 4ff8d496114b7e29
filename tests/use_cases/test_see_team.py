"""The team: pages by key, filters, gaps by weekday, who is nearest, a harmless file."""

import csv
import io
from datetime import date, timedelta

import pytest

from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import a_record, evidence
from tests.support.statements import counted
from trainer.store import records
from trainer.use_cases import (
    certify,
    clear_for_service,
    keep_people,
    keep_working_days,
    see_house,
    see_team,
    withdraw,
)
from trainer.use_cases.clear_for_service import Ask
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound
from trainer.use_cases.see_team import Wanted

GRACE = 30
DAY = NOW.date()
MONDAY, SATURDAY = 0, 5


@pytest.fixture
def team(work, bank, earned, issuing, salon):
    """Ada with a record, Bo with an assessment, Cy with nothing; in one salon."""
    academy = an_organisation(work)
    names = ("=Ada Lowe", "Bo Hart", "Cy Örs")
    found = [a_person(work, organisation=academy, name=name) for name in names]
    for someone in found:
        with work.writing() as unit:
            keep_people.join(unit, someone.id, salon, ("apprentice",), NOW)
    a_record(work, bank, earned, issuing, found[0])
    bo = found[1]
    earned.known[bo.id, "tape_in"] = evidence("s2", observed=("fit",))
    with work.writing() as unit:
        certify.consider(unit, bank, bo.id, bo.organisation, "tape_in", issuing, NOW)
    return found


def names_for(work, bank, desk, count=25, after=None, **wanted):
    with work.reading(desk.viewer) as unit:
        found = see_team.page(unit, bank, Wanted(DAY, **wanted), after, GRACE, count)
    return [one.name for one in found.lines], found.next_after


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        ({}, ["=Ada Lowe", "Bo Hart", "Cy Örs"]),
        ({"letters": "ör"}, ["Cy Örs"]),
        ({"letters": "ha"}, ["Bo Hart"]),
        ({"word": "competent", "service": "remove"}, ["=Ada Lowe"]),
        ({"word": "competent", "method": "micro_link"}, []),
        ({"word": "working_towards", "method": "tape_in"}, ["Bo Hart"]),
        ({"word": "not_started"}, ["Cy Örs"]),
        ({"ends_by": DAY + timedelta(days=400)}, ["=Ada Lowe"]),
        ({"ends_by": DAY + timedelta(days=60)}, []),
    ],
)
def test_people_are_found_as_wanted(work, bank, desk, team, wanted, expected):
    assert names_for(work, bank, desk, **wanted)[0] == expected


def test_pages_go_on_where_the_last_ended(work, bank, desk, team):
    first, after = names_for(work, bank, desk, count=2)
    rest, end = names_for(work, bank, desk, count=2, after=after)
    assert (first, rest, end) == (["=Ada Lowe", "Bo Hart"], ["Cy Örs"], None)


def test_a_page_takes_as_many_statements_whatever_it_shows(work, bank, desk, team):
    with counted(work) as sent, work.reading(desk.viewer) as unit:
        see_team.page(unit, bank, Wanted(DAY), None, GRACE)
    assert len(sent) <= 7


def test_the_picture_says_what_the_desk_says(work, bank, desk, team):
    with work.reading(desk.viewer) as unit:
        found = see_team.page(unit, bank, Wanted(DAY), None, GRACE)
        asks = [
            Ask(line.person_id, method, service, DAY)
            for line in found.lines
            for method, cells in line.cells.items()
            for service in cells
        ]
        told = clear_for_service.answer_many(unit, bank, asks, GRACE)
    shown = [c.answer for line in found.lines for m in line.cells.values() for c in m.values()]
    assert shown == [one.clearance.answer for one in told]
    assert set(shown) == {"cleared", "supervised_only", "not_cleared"}


def gaps_of(work, bank, desk):
    with work.reading(desk.viewer) as unit:
        house, keep = see_house.see_house(unit, bank, GRACE, NOW, NOW.date())
        near = see_house.closing(unit, bank, house.gaps, GRACE, DAY)
    assert not keep
    return house, {(gap.method, one): gap for gap in house.gaps for one in gap.services}, near


def test_gaps_by_weekday_and_who_is_nearest(work, bank, desk, team):
    house, gaps, _ = gaps_of(work, bank, desk)
    assert ("tape_in", "remove") not in gaps and gaps["fusion_bond", "remove"].days == ()
    assert house.can["tape_in"]["fit"] == 1 and house.without_days == 3
    with work.writing(desk.viewer) as unit:
        ticks = {team[0].id: [MONDAY], team[1].id: [MONDAY, SATURDAY]}
        keep_working_days.set_days(unit, ticks)
    house, gaps, near = gaps_of(work, bank, desk)
    gap = gaps["tape_in", "remove"]
    assert (gap.days, gap.fitted, house.without_days) == ((SATURDAY,), True, 1)
    assert house.gaps[0] == gap
    assert gap.services == ("remove", "fit", "maintain")
    (nearest,) = near[gap]
    assert nearest.person == "Bo Hart"
    assert nearest.clearance.would_change_it == "Still to be observed: maintain, remove."
    assert house.ends == {"2027-03": 1}


def test_others_on_a_day_on_which_they_work(work, bank, desk, team):
    with work.writing(desk.viewer) as unit:
        keep_working_days.set_days(unit, {team[0].id: [MONDAY]})
    with work.reading(desk.viewer) as unit:
        for on, expected in ((date(2026, 3, 9), [team[0].id]), (date(2026, 3, 10), [])):
            found = clear_for_service.who_is_cleared(
                unit, bank, Ask("", "tape_in", "fit", on), GRACE
            )
            assert [one for one, _ in found] == expected


def test_a_count_of_a_large_house_is_shown_for_a_while(work, bank, desk, team, monkeypatch):
    monkeypatch.setattr(see_house, "SMALL", 1)
    with work.writing(desk.viewer) as unit:
        house, keep = see_house.see_house(unit, bank, GRACE, NOW, NOW.date())
        assert keep
        see_house.keep_house(unit, house)
    with work.reading(desk.viewer) as unit:
        later = NOW + timedelta(minutes=9)
        assert see_house.see_house(unit, bank, GRACE, later, NOW.date()) == (house, False)
        assert see_house.see_house(unit, bank, GRACE, NOW + timedelta(minutes=10), NOW.date())[1]
        tomorrow = NOW.date() + timedelta(days=1)
        assert see_house.see_house(unit, bank, GRACE, later, tomorrow)[1]
    with work.writing(desk.viewer) as unit:
        keep_working_days.set_days(unit, {team[0].id: [MONDAY]})
        assert see_house.see_house(unit, bank, GRACE, NOW, NOW.date())[1]
        see_house.keep_house(unit, house)
    boss = a_person(work, "instructor", organisation=team[0].organisation)
    with work.writing(boss.viewer) as unit:
        (held,) = records.held(unit, team[0].id)
        withdraw.suspend(unit, held.id, "Complaint being looked into.", NOW)
    with work.reading(desk.viewer) as unit:
        stopped, _ = see_house.see_house(unit, bank, GRACE, NOW, NOW.date())
    assert (house.can["tape_in"]["fit"], stopped.can["tape_in"].get("fit", 0)) == (1, 0)


def test_the_file_has_every_standing_and_no_formula(work, bank, desk, team):
    with work.reading(desk.viewer) as unit:
        text = see_team.as_csv(unit, bank, Wanted(DAY), GRACE)
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert {row["name"] for row in rows} == {"'=Ada Lowe", "Bo Hart"}
    fit = next(row for row in rows if row["service"] == "fit" and row["name"][0] == "'")
    assert (fit["standing"], fit["clearance_today"]) == ("competent", "cleared")
    assert fit["until_or_since"] == "2027-03-03"


def test_who_may_set_days_and_for_whom(work, desk, team):
    with work.writing(desk.viewer) as unit:
        with pytest.raises(NotFound):
            keep_working_days.set_days(unit, {a_stranger(work): [MONDAY]})
        with pytest.raises(InputProblem):
            keep_working_days.set_days(unit, {team[0].id: [7]})
    with work.writing(team[0].viewer) as unit, pytest.raises(Forbidden):
        keep_working_days.set_days(unit, {})


def a_stranger(_work):
    return "f" * 32
