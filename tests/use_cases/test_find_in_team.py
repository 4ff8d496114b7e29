"""Who is found in a team: by summaries and by records from elsewhere, as the page shows them."""

from datetime import date, timedelta
from itertools import product

import pytest

from tests.support.elsewhere import OtherAcademy, accept, check, keep
from tests.support.people import NOW, a_person
from trainer.core.knowledge.words import SERVICES
from trainer.store import competencies, standings, team
from trainer.store.team import Wanted
from trainer.use_cases import (
    accept_issuer,
    clear_for_service,
    find_in_team,
    keep_people,
    keep_working_days,
    see_house,
    see_team,
)
from trainer.use_cases.clear_for_service import Ask

GRACE = 30
DAY = NOW.date()
MONDAY, TUESDAY = date(2026, 3, 9), date(2026, 3, 10)


@pytest.fixture
def noor(work, salon):
    """All that she has will be a record from elsewhere, to fit and remove tape-ins."""
    return a_person(work, organisation=salon, name="Noor Haddad")


@pytest.fixture
def counts(work, bank, desk, noor):
    """The same record, by an issuer accepted here, with its status known: its id."""
    accept(work, bank, desk)
    record_id = keep(work, bank, desk, noor)
    check(work, desk, record_id)
    return record_id


def is_found(work, bank, desk, **wanted):
    with work.reading(desk.viewer) as unit:
        found = find_in_team.find(unit, bank, Wanted(DAY, **wanted), None, 25, GRACE)
    return "Noor Haddad" in [one.name for one in found]


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        ({"word": "competent"}, True),
        ({"word": "competent", "method": "tape_in", "service": "remove"}, True),
        ({"word": "competent", "method": "tape_in", "service": "maintain"}, False),
        ({"word": "competent", "method": "micro_link"}, False),
        ({"word": "competent", "letters": "no"}, True),
        ({"word": "competent", "letters": "ad"}, False),
        ({"word": "not_started"}, False),
        ({"word": "not_started", "method": "micro_link"}, True),
        ({"word": "not_started", "method": "tape_in", "service": "maintain"}, True),
        ({"word": "unchecked"}, False),
        ({"ends_by": DAY + timedelta(days=400)}, True),
        ({"ends_by": DAY + timedelta(days=400), "service": "maintain"}, False),
        ({"ends_by": DAY + timedelta(days=60)}, False),
    ],
)
def test_whoever_has_only_a_record_from_elsewhere_is_found_as_wanted(
    work, bank, desk, counts, wanted, expected
):
    assert is_found(work, bank, desk, **wanted) is expected


def test_they_are_found_otherwise_as_soon_as_it_counts_otherwise(work, bank, desk, noor):
    def words():
        asked = ("not_started", "unchecked", "competent", "marked")
        return [word for word in asked if is_found(work, bank, desk, method="tape_in", word=word)]

    record_id = keep(work, bank, desk, noor)
    assert words() == ["not_started"], "its issuer is not accepted"
    accepted = accept(work, bank, desk)
    assert words() == ["unchecked"]
    check(work, desk, record_id)
    assert words() == ["competent"]
    check(work, desk, record_id, OtherAcademy(marked={7}))
    assert words() == ["marked"]
    with work.writing(desk.viewer) as unit:
        accept_issuer.end(unit, accepted, NOW)
    assert words() == ["not_started"]


def test_they_are_named_as_able_for_what_it_covers_on_days_on_which_they_work(
    work, bank, desk, noor, counts
):
    with work.writing(desk.viewer) as unit:
        keep_working_days.set_days(unit, {noor.id: [MONDAY.weekday()]})

    def able(service, on):
        with work.reading(desk.viewer) as unit:
            return clear_for_service.who_is_cleared(
                unit, bank, Ask("", "tape_in", service, on), GRACE
            )

    assert able("fit", MONDAY) == [(noor.id, "Noor Haddad")]
    assert able("maintain", MONDAY) == able("fit", TUESDAY) == []


def test_they_close_a_gap_as_long_as_it_counts(work, bank, desk, noor, counts, monkeypatch):
    monkeypatch.setattr(see_house, "SMALL", 0)

    def house():
        with work.writing(desk.viewer) as unit:
            found, counted = see_house.see_house(unit, bank, GRACE, NOW, NOW.date())
            if counted:
                see_house.keep_house(unit, found)
        lacking = next(gap for gap in found.gaps if gap.method == "tape_in")
        return found.can["tape_in"].get("fit", 0), lacking.services, sum(found.ends.values())

    assert house() == (1, ("maintain",), 1)
    check(work, desk, counts, OtherAcademy(marked={7}))
    assert house() == (0, ("remove", "fit", "maintain"), 0), "not what was counted before"


def test_whose_status_only_wants_looking_at_is_nearest_to_closing_a_gap(
    work, bank, desk, noor, salon
):
    passed = a_person(work, organisation=salon, name="Ada Lowe")
    accept(work, bank, desk)
    keep(work, bank, desk, noor)
    with work.writing(desk.viewer) as unit:
        for service in SERVICES:
            row = told(passed.id, "tape_in", service, "working_towards", passed_on=DAY)
            standings.keep(unit, row)
        house, _ = see_house.see_house(unit, bank, GRACE, NOW, NOW.date())
        near = see_house.closing(unit, bank, house.gaps, GRACE, DAY)
    gap = next(gap for gap in house.gaps if gap.method == "tape_in")
    assert [one.person for one in near[gap]] == ["Noor Haddad", "Ada Lowe"]
    assert near[gap][0].clearance.would_change_it.startswith("Somebody checks its status")


def told(person_id, method, service, word, day=None, passed_on=None):
    return standings.StandingRow(
        person_id=person_id,
        method=method,
        service=service,
        word=word,
        day=day,
        passed_on=passed_on,
        as_of=NOW,
    )


@pytest.fixture
def everybody(work, bank, desk, salon):
    """People of every kind, as the page shows them."""
    ends = {
        "Ada": ("competent", DAY + timedelta(days=20)),
        "Bo": ("competent", DAY - timedelta(days=1)),
        "Cy": ("expired", DAY - timedelta(days=90)),
        "Dov": ("suspended", DAY),
        "Eda": ("working_towards", None),
    }
    found = {name: a_person(work, organisation=salon, name=name) for name in (*ends, "Fay", "Gil")}
    answered = {"mean": 0.0, "sd": 1.0, "n": 3, "right": 1, "updated_at": NOW, "waiting_id": None}
    with work.writing() as unit:
        for (name, (word, day)), service in product(ends.items(), SERVICES):
            passed = DAY if name == "Eda" else None
            row = told(found[name].id, "tape_in", service, word, day, passed)
            standings.keep(unit, row)
        about = [{"person_id": found[name].id, "method": "clip_in"} for name in ("Ada", "Fay")]
        competencies.keep(unit, [one | {"topic": "", **answered} for one in about])
    with work.reading(desk.viewer) as unit:
        return see_team.page(unit, bank, Wanted(DAY), None, GRACE).lines


def seen(everybody, wanted):
    """Those of them who are wanted by what the page shows."""
    nothing_begun = wanted.word == "not_started" and wanted.ends_by is None
    quantity = all if nothing_begun else any
    return [
        line.name
        for line in everybody
        if quantity(
            find_in_team.is_wanted(method, service, cell.standing, wanted)
            for method, cells in line.cells.items()
            for service, cell in cells.items()
            if wanted.method in ("", method) and wanted.service in ("", service)
        )
    ]


def test_summaries_and_the_page_find_the_same_people(work, bank, desk, everybody):
    words = ("", "competent", "expired", "suspended", "working_towards", "not_started", "marked")
    by = (None, DAY + timedelta(days=30))
    asked = product(("", "tape_in", "clip_in"), ("", "fit"), words, by)
    with work.reading(desk.viewer) as unit:
        for one in asked:
            wanted = Wanted(DAY, "", *one)
            if wanted.asks_standing:
                found = find_in_team.find(unit, bank, wanted, None, 25, GRACE)
                assert [row.name for row in found] == seen(everybody, wanted), wanted


@pytest.mark.parametrize(
    ("service", "expected"), [("consult", {"Ada", "Eda"}), ("fit", {"Ada"}), ("remove", {"Ada"})]
)
def test_nobody_who_is_cleared_is_left_out_of_those_looked_at(
    work, desk, everybody, service, expected
):
    with work.reading(desk.viewer) as unit:
        likely = team.likely(unit, "tape_in", service, DAY, None, 25)
    cleared = {
        line.name for line in everybody if line.cells["tape_in"][service].answer == "cleared"
    }
    assert cleared == expected <= {one.name for one in likely}


def test_whoever_passed_the_assessment_is_named_for_what_it_covers(work, bank, desk, salon):
    someone = a_person(work, organisation=salon, name="Ada Lowe")
    with work.writing() as unit:
        for service in SERVICES:
            row = told(someone.id, "tape_in", service, "working_towards", passed_on=DAY)
            standings.keep(unit, row)
    with work.reading(desk.viewer) as unit:
        asks = [Ask("", "tape_in", service, MONDAY) for service in ("aftercare", "fit")]
        able = [clear_for_service.who_is_cleared(unit, bank, ask, GRACE) for ask in asks]
    assert able == [[(someone.id, "Ada Lowe")], []]


def test_a_house_is_read_by_names_as_they_are_now(work, bank, desk, salon):
    boss = a_person(work, "administrator", organisation=salon)
    ids = [a_person(work, organisation=salon, name=name).id for name in ("Ada", "Bo", "Cy")]
    with work.writing(boss.viewer) as unit:
        keep_people.rename(unit, ids[0], "Zoë", NOW)
    with work.reading(desk.viewer) as unit:
        lines = see_team.page(unit, bank, Wanted(DAY), None, GRACE).lines
    assert [one.name for one in lines] == ["Bo", "Cy", "Zoë"]
