"""A week's bookings: who may, who may not, who could instead; and what is kept of it: nothing."""

from datetime import date

import pytest

from tests.support.diaries import diary, row
from tests.support.elsewhere import accept, check, keep
from tests.support.people import NOW, a_person, an_organisation
from tests.support.records import a_record
from tests.support.statements import counted
from trainer.core.bookings.booking import week_of
from trainer.store import records, working_days
from trainer.use_cases import (
    check_week,
    example_week,
    keep_matching_rules,
    keep_people,
    read_bookings,
    withdraw,
)
from trainer.use_cases.clear_for_service import LOOKED_AT
from trainer.use_cases.keep_matching_rules import Meaning
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

MONDAY = date(2026, 3, 9)
"""A week after the records of these tests begin."""
GRACE = 30
TAPES = Meaning("Tapes full head", "work", "tape_in", "fit")
CUTS = Meaning("cut", "work")
NAMES = ("Ada Lowe", "Bo Hart", "Cleo Wu")


@pytest.fixture
def team(work, bank, earned, issuing, salon):
    """Ada and Cleo hold a record for tape-ins; Bo does not."""
    academy = an_organisation(work)
    found = [a_person(work, organisation=academy, name=n) for n in NAMES]
    for someone in found:
        with work.writing() as unit:
            keep_people.join(unit, someone.id, salon, ("apprentice",), NOW)
    for someone in (found[0], found[2]):
        a_record(work, bank, earned, issuing, someone)
    return found


def learn(work, bank, desk, *meanings):
    with work.writing(desk.viewer) as unit:
        for one in meanings:
            keep_matching_rules.confirm(unit, bank, one, NOW)


def checked(work, bank, desk, *rows, today=None):
    read = diary(*rows, day=MONDAY)
    with work.reading(desk.viewer) as unit:
        return check_week.check(unit, bank, week_of(MONDAY), read, GRACE, today or NOW.date())


def booked(day, start, staff, service, **more):
    return row(day + 7, start, staff, service, **more)


def test_whoever_is_not_cleared_is_listed_with_who_could_do_it(work, bank, desk, team):
    learn(work, bank, desk, TAPES, CUTS)
    found = checked(
        work,
        bank,
        desk,
        booked(0, "09:00", "Ada Lowe", "Tapes full head"),
        booked(0, "09:30", "Bo Hart", "Tapes full head", end="11:00"),
        booked(1, "09:00", "Bo Hart", "Tapes full head"),
        booked(1, "09:00", "Bo Hart", "Cut and blow-dry"),
    )
    assert (found.cleared, found.no_need, found.asked) == (1, 1, 0)
    first, second = found.lines
    assert (first.person, first.method, first.service) == ("Bo Hart", "tape_in", "fit")
    assert first.clearance.answer == "not_cleared"
    assert first.instead == ["Cleo Wu"], "Ada is booked until ten"
    assert second.instead == ["Ada Lowe", "Cleo Wu"]
    assert [(rule.words[0], used) for rule, used in found.read_as] == [("tapes", 3), ("cut", 1)]


def test_days_gone_by_are_answered_from_records_as_days_to_come_from_summaries(
    work, bank, desk, team
):
    learn(work, bank, desk, TAPES, CUTS)
    head = a_person(work, "administrator", organisation=team[2].organisation)
    with work.writing(head.viewer) as unit:
        (row,) = records.held(unit, team[2].id, "tape_in")
        withdraw.suspend(unit, row.id, "Under review.", NOW)
    rows = [booked(day, "09:00", name, "Tapes full head") for day in (0, 4) for name in NAMES]
    ahead, behind = (
        checked(work, bank, desk, *rows, today=today) for today in (NOW.date(), date(2026, 3, 20))
    )
    assert ahead == behind
    assert (ahead.cleared, len(ahead.lines)) == (2, 4)


def test_whoever_does_not_work_that_day_is_not_offered(work, bank, desk, team):
    learn(work, bank, desk, TAPES)
    with work.writing(desk.viewer) as unit:
        working_days.keep(unit, team[0].id, 0b0000010)
    rows = [booked(day, "09:00", "Bo Hart", "Tapes full head") for day in (0, 1)]
    monday, tuesday = checked(work, bank, desk, *rows).lines
    assert (monday.instead, tuesday.instead) == (["Cleo Wu"], ["Ada Lowe", "Cleo Wu"])


def test_words_and_people_that_nobody_explained_are_asked_about_once(work, bank, desk, team):
    rows = [booked(day, "09:00", "Bo", "Tapes full head") for day in range(4)]
    found = checked(work, bank, desk, *rows)
    assert [(one.words, len(one.places)) for one in (*found.work, *found.people)] == [
        ("Tapes full head", 4),
        ("Bo", 4),
    ]
    assert (found.asked, found.lines) == (4, [])
    learn(work, bank, desk, TAPES, Meaning("bo", "person", person=team[1].id))
    again = checked(work, bank, desk, *rows)
    assert (again.asked, len(again.lines)) == (0, 4)


def test_a_booking_with_nobody_and_one_with_somebody_elses_staff(work, bank, desk, team):
    learn(work, bank, desk, TAPES, Meaning("Nail bar", "person"))
    found = checked(
        work,
        bank,
        desk,
        booked(0, "09:00", "", "Tapes full head"),
        booked(0, "09:00", "Nail Bar 2", "Tapes full head"),
        booked(0, "09:00", "", "Cleo Wu: tapes full head"),
    )
    assert (found.not_ours, found.cleared) == (1, 1)
    assert [(one.person, one.clearance, one.instead) for one in found.lines] == [
        ("", None, ["Ada Lowe"])
    ]


def test_rules_belong_to_one_salon_and_say_one_thing_for_one_run_of_words(work, bank, desk, team):
    learn(work, bank, desk, TAPES, Meaning("TAPES, full head", "work", "tape_in", "maintain"))
    with work.reading(desk.viewer) as unit:
        (kept,) = keep_matching_rules.rules(unit)
    assert (kept.words, kept.service) == (("tapes", "full", "head"), "maintain")
    other = a_person(work, "salon_manager")
    with work.reading(other.viewer) as unit:
        assert keep_matching_rules.rules(unit) == []
    with pytest.raises(NotFound), work.writing(other.viewer) as unit:
        keep_matching_rules.forget(unit, kept.id)
    with work.writing(desk.viewer) as unit:
        keep_matching_rules.forget(unit, kept.id)
        assert keep_matching_rules.rules(unit) == []


@pytest.mark.parametrize(
    "wrong",
    [
        Meaning("", "work", "tape_in", "fit"),
        Meaning("!?", "work", "tape_in", "fit"),
        Meaning("a " * 9, "work", "tape_in", "fit"),
        Meaning("x" * 81, "work", "tape_in", "fit"),
        Meaning("tapes", "work", "glue_gun", "fit"),
        Meaning("tapes", "work", "tape_in", "wash"),
        Meaning("tapes", "work", "tape_in", ""),
    ],
)
def test_a_rule_that_says_nothing_is_refused(work, bank, desk, wrong):
    with pytest.raises(InputProblem):
        learn(work, bank, desk, wrong)


def test_a_rule_names_people_of_the_house_alone(work, bank, desk):
    with pytest.raises(NotFound):
        learn(work, bank, desk, Meaning("noor", "person", person=a_person(work).id))


def test_the_check_is_for_the_desk(work, bank, team):
    with pytest.raises(Forbidden), work.reading(team[0].viewer) as unit:
        read = diary(booked(0, "09:00", "a", "b"), day=MONDAY)
        check_week.check(unit, bank, week_of(MONDAY), read, GRACE, NOW.date())
    with pytest.raises(Forbidden), work.reading(team[0].viewer) as unit:
        read_bookings.read(unit, b"x", week_of(MONDAY))


def test_statements_do_not_grow_with_bookings(work, bank, desk, team):
    learn(work, bank, desk, TAPES)

    def spent(count):
        rows = [
            booked(n % 5, f"{9 + n % 8:02}:00", "Bo Hart", "Tapes full head") for n in range(count)
        ]
        with counted(work) as sent:
            checked(work, bank, desk, *rows)
        return len(sent)

    assert spent(40) == spent(4) <= 20


@pytest.mark.parametrize("kind", ["ics", "csv"])
def test_the_example_is_of_the_house_and_reads_back(work, bank, desk, team, kind):
    with work.reading(desk.viewer) as unit:
        content = example_week.example(unit, week_of(MONDAY), kind)
        read = read_bookings.read(unit, content, week_of(MONDAY))
        found = check_week.check(unit, bank, week_of(MONDAY), read, GRACE, NOW.date())
    assert len(read.bookings) > 20
    assert found.people == []
    assert len(found.work) == len(example_week.WORK)
    assert {one.words for one in found.work} == {title for title, _ in example_week.WORK}


def test_a_file_of_another_week_says_which_it_holds(work, desk, team):
    with work.reading(desk.viewer) as unit:
        content = example_week.example(unit, week_of(MONDAY), "ics")
        with pytest.raises(InputProblem, match="9 March 2026 to 14 March 2026"):
            read_bookings.read(unit, content, week_of(date(2026, 4, 1)))
        with pytest.raises(InputProblem, match="no file"):
            read_bookings.read(unit, b"", week_of(MONDAY))


def test_in_a_large_team_whoever_has_a_record_from_elsewhere_may_step_in(
    work, bank, desk, salon, team
):
    with work.writing() as unit:
        for number in range(LOOKED_AT):
            one = keep_people.add_person(unit, f"Zed {number}", f"zed{number}@example.org", NOW)
            keep_people.join(unit, one, salon, ("apprentice",), NOW)
    noor = a_person(work, organisation=salon, name="Noor Haddad")
    learn(work, bank, desk, TAPES)
    rows = [booked(0, "09:00", "Bo Hart", "Tapes full head")]
    assert checked(work, bank, desk, *rows).lines[0].instead == ["Ada Lowe", "Cleo Wu"]
    accept(work, bank, desk)
    check(work, desk, keep(work, bank, desk, noor))
    assert checked(work, bank, desk, *rows).lines[0].instead == [
        "Ada Lowe",
        "Cleo Wu",
        "Noor Haddad",
    ]
