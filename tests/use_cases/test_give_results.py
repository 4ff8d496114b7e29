"""Results given out: what stands on each line, for whom, and what never stands there."""

import csv
import io
from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from tests.support.plain_bank import BELIEF, METHOD, plain_bank
from tests.support.practised import a_sitting, answers
from tests.support.records import a_record
from trainer.store import events
from trainer.use_cases import give_results, keep_people
from trainer.use_cases.give_results import Wanted
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

EVERYTHING = Wanted()


@pytest.fixture(scope="module")
def plain():
    return plain_bank()


@pytest.fixture
def teacher(sqlite_work):
    return a_person(sqlite_work, "instructor")


def lines(work, bank, who, wanted=EVERYTHING, now=NOW):
    with work.writing(who.viewer) as unit:
        text = give_results.give(unit, bank, wanted, now)
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_a_line_for_the_method_and_one_for_each_topic(sqlite_work, plain, teacher):
    ada = a_person(sqlite_work, organisation=teacher.organisation, name="=Ada Quill")
    answers(sqlite_work, plain, ada, 6, right=False)
    whole, topic = lines(sqlite_work, plain, teacher)
    assert (whole["topic"], topic["topic"]) == ("", "removal_safety")
    assert (topic["answers"], topic["right"], topic["against_the_standard"]) == ("6", "0", "below")
    assert topic["last_answer_on"] == "2026-03-03"
    assert whole["name"] == "'=Ada Quill" and whole["method"] == METHOD
    assert (whole["decision"], whole["record"]) == ("", "")
    assert BELIEF not in str([whole, topic])


def test_the_latest_decision_with_its_day_and_how_sure_it_is(sqlite_work, plain, teacher):
    ada = a_person(sqlite_work, organisation=teacher.organisation)
    with sqlite_work.writing(teacher.viewer) as unit:
        unit.session.add(a_sitting(ada, METHOD, False, NOW - timedelta(days=20)))
        unit.session.add(a_sitting(ada, METHOD, True, NOW - timedelta(days=2)))
    (whole,) = lines(sqlite_work, plain, teacher)
    found = (whole["decision"], whole["decided_on"], whole["chance_decision_is_right"])
    assert found == ("passed", "2026-03-01", "0.97")
    elsewhere = a_person(sqlite_work, "instructor")
    assert lines(sqlite_work, plain, elsewhere) == []


def test_the_newest_record_with_its_number_and_days(sqlite_work, bank, earned, issuing, teacher):
    ada = a_person(sqlite_work, organisation=teacher.organisation)
    number = a_record(sqlite_work, bank, earned, issuing, ada)
    (whole,) = lines(sqlite_work, bank, teacher)
    assert (whole["record"], whole["record_state"], whole["method"]) == (
        number,
        "in force",
        "tape_in",
    )
    assert whole["standing_remove"] == "competent" and "remove" in whole["record_services"].split()
    assert whole["valid_from"] < whole["valid_until"]
    (later,) = lines(sqlite_work, bank, teacher, now=NOW + timedelta(days=900))
    assert (later["record_state"], later["standing_remove"]) == ("expired", "expired")


def test_only_those_who_train_see_how_many_were_right(sqlite_work, plain, teacher):
    ada = a_person(sqlite_work, organisation=teacher.organisation)
    answers(sqlite_work, plain, ada, 6, right=True)
    boss = a_person(sqlite_work, "administrator", organisation=teacher.organisation)
    assert {line["right"] for line in lines(sqlite_work, plain, boss)} == {""}
    assert {line["right"] for line in lines(sqlite_work, plain, teacher)} == {"6"}
    for role in ("apprentice", "salon_manager"):
        with pytest.raises(Forbidden):
            lines(sqlite_work, plain, a_person(sqlite_work, role))


def test_what_is_wanted(sqlite_work, plain, teacher):
    ada, bo = (a_person(sqlite_work, organisation=teacher.organisation) for _ in range(2))
    for one in (ada, bo):
        answers(sqlite_work, plain, one, 2, right=True)
    with sqlite_work.writing(teacher.viewer) as unit:
        group = keep_people.make_group(unit, "Friday")
    with sqlite_work.writing(a_boss(sqlite_work, teacher).viewer) as unit:
        keep_people.change_member(unit, ada.id, ["apprentice"], [group], NOW)
    found = lines(sqlite_work, plain, teacher, Wanted(METHOD, group, topics=False))
    assert [(line["email"], line["topic"]) for line in found] == [(ada.email, "")]
    with pytest.raises(InputProblem, match="no method"):
        lines(sqlite_work, plain, teacher, Wanted(method="glue_gun"))
    stranger = a_person(sqlite_work, "instructor")
    with pytest.raises(NotFound):
        lines(sqlite_work, plain, stranger, Wanted(group=group))
    with sqlite_work.reading(teacher.viewer) as unit:
        assert "results.given" in [row.kind for row in events.all_in_order(unit)]


def a_boss(work, teacher):
    return a_person(work, "administrator", organisation=teacher.organisation)
