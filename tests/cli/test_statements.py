"""`trainer statements`: the same lines each time; sending says what went wrong."""

import json

import pytest
from click.testing import CliRunner

from tests.support import practised
from tests.support.people import a_person
from tests.support.plain_bank import plain_bank
from tests.support.statements_judge import faults_of_all
from trainer import clock
from trainer.cli.entry import main
from trainer.settings import prepare, read_settings
from trainer.use_cases import set_learning_target
from trainer.use_cases.work import Work


@pytest.fixture
def place(tmp_path, monkeypatch):
    """An instance with one answered question; gives the organisation's id."""
    monkeypatch.setenv("TRAINER_INSTANCE", str(tmp_path))
    monkeypatch.setenv("TRAINER_BASE_URL", "https://quayside.example")
    settings = prepare(read_settings())
    work = Work(settings.database, settings.instance)
    work.prepare()
    boss = a_person(work, "administrator")
    with work.writing(boss.viewer) as unit:
        address = "https://127.0.0.1:8443/xapi"
        set_learning_target.name_target(unit, settings.keys, address, "us", "hush", clock.now())
    learner = a_person(work, organisation=boss.organisation)
    practised.answer(work, plain_bank(), learner, right=True, at=clock.now())
    work.close()
    return boss.organisation


def run(*given):
    return CliRunner().invoke(main, ["statements", *given])


def test_write_gives_the_same_statements_each_time(place):
    first, again = (run("write", "--organisation", place) for _ in range(2))
    assert first.exit_code == 0 and first.stdout == again.stdout
    (said,) = map(json.loads, first.stdout.splitlines())
    assert faults_of_all([said]) == []
    assert run("write", "--organisation", place, "--until", "2020-01-01").stdout == ""


def test_write_says_what_is_wrong(place, monkeypatch):
    assert "is no organisation here" in run("write", "--organisation", "x").stderr
    monkeypatch.delenv("TRAINER_BASE_URL")
    wrong = run("write", "--organisation", place)
    assert (wrong.exit_code, "TRAINER_BASE_URL" in wrong.stderr) == (2, True)


def test_a_store_in_a_private_network_is_not_opened(place):
    found = run("send")
    (done,) = map(json.loads, found.stdout.splitlines())
    assert (found.exit_code, done["sent"], done["waiting"]) == (1, 0, 1)
    assert "private network" in done["said"]
