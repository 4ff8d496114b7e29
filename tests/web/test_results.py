"""Results by file on screen, and from the command line."""

import csv
import io
import json

import pytest
from click.testing import CliRunner

from tests.support.people import a_person
from trainer.cli.entry import main

ASKED = {"group": "", "method": "", "lines": "topics"}


def test_the_file_is_a_table(visit, sqlite_work):
    here = visit(a_person(sqlite_work, "instructor"))
    assert "how many of them right" in here.get("/results")
    answer = here.client.post("/results", data=ASKED)
    assert (answer.status_code, answer.mimetype) == (200, "text/csv")
    assert "attachment" in answer.headers["Content-Disposition"]
    assert next(csv.reader(io.StringIO(answer.get_data().decode("utf-8-sig"))))[:2] == [
        "sourced_id",
        "name",
    ]


def test_a_foreign_group_is_no_choice_and_other_roles_get_nothing(visit, sqlite_work):
    here = visit(a_person(sqlite_work, "administrator"))
    assert "Not a valid choice" in here.post("/results", ASKED | {"group": "x" * 32}, code=400)
    for role in ("apprentice", "salon_manager"):
        visit(a_person(sqlite_work, role)).post("/results", ASKED, code=403)


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAINER_INSTANCE", str(tmp_path / "instance"))
    return lambda *words: CliRunner().invoke(main, list(words))


def test_the_command_prints_the_table_and_refuses_what_is_not_there(run):
    made = run("users", "found", "--name", "Rowan Lane", "--kind", "academy")
    place = json.loads(made.stdout)["id"]
    found = run("results", "--organisation", place)
    assert found.exit_code == 0 and found.stdout.startswith("sourced_id,name,email,method,topic,")
    assert run("results", "--organisation", "none").exit_code == 2
    assert run("results", "--organisation", place, "--group", "none").exit_code == 2
    assert run("results", "--organisation", place, "--method", "none").exit_code == 2
