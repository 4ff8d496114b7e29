"""Everything about one person: held against the database, and nothing of anybody else."""

import csv
import io
import json
from datetime import timedelta
from zipfile import ZipFile

import pytest

from tests.support.people import NOW, a_person
from tests.support.plain_bank import METHOD, plain_bank
from tests.support.practised import a_sitting, answer, answers
from tests.support.records import a_record
from trainer.store.base import Base
from trainer.store.observations import ObservationRow
from trainer.store.outgoing_statements import OutgoingStatementRow
from trainer.store.personal import HELD, SECRET
from trainer.use_cases.give_own_data import CLOSED, give_own_data
from trainer.use_cases.refusals import Forbidden
from trainer.use_cases.work import NOBODY


@pytest.fixture(scope="module")
def plain():
    return plain_bank()


def given(work, someone, now=NOW):
    with work.writing(someone.viewer) as unit:
        content = give_own_data(unit, now)
    with ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name).decode() for name in archive.namelist()}


def everything(work, someone):
    return json.loads(given(work, someone)["everything.json"])


def test_what_is_given_is_what_the_database_holds(work, plain, bank, earned, issuing):
    boss = a_person(work, "instructor", name="Odile Farr")
    ada = a_person(work, organisation=boss.organisation, name="=Ada Quill")
    bo = a_person(work, organisation=boss.organisation, name="Bo Ash")
    for one, right in ((ada, True), (bo, False)):
        answers(work, plain, one, 3, right=right)
        with work.writing(one.viewer) as unit:
            unit.session.add(a_sitting(one, METHOD, True, NOW - timedelta(days=2)))
        statement = {"actor": {"account": {"name": one.id}}, "object": one.email}
        with work.writing(one.viewer) as unit:
            unit.session.add(
                OutgoingStatementRow(
                    id=one.id, organisation_id=one.organisation, number=right, statement=statement
                )
            )
    number = a_record(work, bank, earned, issuing, ada)
    files = given(work, ada)
    found = json.loads(files["everything.json"])
    assert len(found["responses"]) == len(found["shown_items"]) == 3
    assert {row["score"] for row in found["responses"]} == {1.0}
    assert found["sittings"][0]["outcome"]["topics"] == ["removal_safety"]
    assert [row["id"] for row in found["records"]] == [number]
    assert [row["id"] for row in found["outgoing_statements"]] == [ada.id]
    assert {"record.issued", "member.roles", "person.data_given"} <= {
        row["kind"] for row in found["event_bodies"]
    }
    with work.reading() as unit:
        for name, rows in found.items():
            if "person_id" in Base.metadata.tables[name].c and name != "event_bodies":
                counted = unit.connection.exec_driver_sql(
                    f"select count(*) from {name} where person_id = '{ada.id}'"
                ).scalar_one()
                assert len(rows) == counted, name
    whole = "\n".join(files.values())
    for stranger in (bo.id, bo.email, "Bo Ash"):
        assert stranger not in whole
    people = list(csv.DictReader(io.StringIO(files["tables/persons.csv"], newline="")))
    assert people[0]["name"] == "'=Ada Quill" and ada.email in files["README.txt"]


def test_no_secret_and_no_right_answer_goes_out(sqlite_work, plain):
    ada = a_person(sqlite_work)
    answer(sqlite_work, plain, ada, right=False)
    found = everything(sqlite_work, ada)
    (shown,) = found["shown_items"]
    assert set(shown["question"]) <= {
        *("type", "method", "service", "topic", "level", "stem", "options"),
    }
    assert shown["question"]["stem"] and "kept" not in shown
    names = {name for rows in found.values() for row in rows for name in row}
    assert not names & SECRET


def test_a_sheet_that_waits_for_its_second_stays_closed(sqlite_work):
    boss = a_person(sqlite_work, "instructor")
    ada = a_person(sqlite_work, organisation=boss.organisation)
    with sqlite_work.writing(boss.viewer) as unit:
        unit.session.add(
            ObservationRow(
                submission_id="s",
                person_id=ada.id,
                observer_id=boss.id,
                organisation_id=boss.organisation,
                method="tape_in",
                service="fit",
                observed_at=NOW,
                signed_at=NOW,
                ticks={},
                notes="crooked",
                met=False,
                bank_version="b",
                asks_second=True,
            )
        )
    (sheet,) = everything(sqlite_work, ada)["observations"]
    assert (sheet["notes"], sheet["met"]) == (CLOSED, CLOSED)


def test_every_table_is_given_or_said_why_not(sqlite_work):
    found = set(everything(sqlite_work, a_person(sqlite_work)))
    assert found == {name for name, held in HELD.items() if not held.not_given}


def test_nobody_gets_nothing(sqlite_work):
    with sqlite_work.writing(NOBODY) as unit, pytest.raises(Forbidden):
        give_own_data(unit, NOW)


def test_the_file_comes_from_ones_own_page(visit, sqlite_work):
    ada = a_person(sqlite_work)
    here = visit(ada)
    assert "What is kept about you" in here.get("/me")
    reply = here.client.post("/me/data")
    assert (reply.status_code, reply.mimetype) == (200, "application/zip")
    assert "sign-in" in visit().client.post("/me/data").headers["Location"]
