"""`trainer keys`, `log`, `backup` and `restore` as commands: what they print, how they end."""

import json

import pytest
from click.testing import CliRunner
from sqlalchemy import create_engine, text

from tests.support.people import a_person
from trainer.cli.entry import main
from trainer.use_cases.work import Work


@pytest.fixture
def place(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAINER_INSTANCE", str(tmp_path))
    work = Work(f"sqlite:///{tmp_path / 'trainer.db'}", tmp_path)
    work.prepare()
    someone = a_person(work)
    work.close()
    return someone.organisation


def run(*words):
    found = CliRunner().invoke(main, words)
    return found.exit_code, found.stdout


def lines(told):
    return [json.loads(line) for line in told.splitlines()]


def test_a_key_is_rotated_listed_and_logged(place):
    code, told = run("keys", "rotate", "--organisation", place)
    (done,) = lines(told)
    assert (code, done["organisation"]) == (0, place)
    code, told = run("keys", "list")
    assert [one["use"] for one in lines(told)] == ["signs", "checks only"]
    code, told = run("log", "export")
    assert lines(told)[-1]["kind"] == "key.rotated"


def test_an_unknown_academy_ends_with_2(place):
    assert run("keys", "rotate", "--organisation", "nobody")[0] == 2


def test_a_whole_log_ends_with_0_and_a_cut_one_with_1(place, tmp_path):
    for _ in range(2):
        run("keys", "rotate", "--organisation", place)
    code, told = run("log", "verify")
    assert (code, json.loads(told)["whole"]) == (0, True)
    with create_engine(f"sqlite:///{tmp_path / 'trainer.db'}").begin() as connection:
        for table in ("event_bodies", "events"):
            chosen = f"(select max(number) from {table})"
            connection.execute(text(f"delete from {table} where number = {chosen}"))
    code, told = run("log", "verify")
    found = json.loads(told)
    assert (code, found["whole"]) == (1, False)
    assert "cut off" in found["breaks"][0]


def test_a_backup_is_restored_elsewhere_and_its_log_holds(place, tmp_path, monkeypatch):
    run("keys", "rotate", "--organisation", place)
    files = (str(tmp_path / "b.zip"), "--secrets", str(tmp_path / "s.zip"))
    code, told = run("backup", *files)
    assert code == 0 and json.loads(told)["tables"]["organisations"] == 1
    assert run("restore", *files)[0] == 2
    monkeypatch.setenv("TRAINER_INSTANCE", str(tmp_path / "elsewhere"))
    code, told = run("restore", *files)
    assert code == 0 and json.loads(told)["log"]["breaks"] == []
    code, told = run("log", "verify")
    assert (code, json.loads(told)["whole"]) == (0, True)
    assert run("keys", "list")[1].count("did:key") >= 1 or place in run("keys", "list")[1]


def test_a_backup_of_a_cut_log_ends_with_1_when_it_comes_back(place, tmp_path, monkeypatch):
    run("keys", "rotate", "--organisation", place)
    with create_engine(f"sqlite:///{tmp_path / 'trainer.db'}").begin() as connection:
        for table in ("event_bodies", "events"):
            connection.execute(text(f"delete from {table}"))
    files = (str(tmp_path / "b.zip"), "--secrets", str(tmp_path / "s.zip"))
    assert run("backup", *files)[0] == 0
    monkeypatch.setenv("TRAINER_INSTANCE", str(tmp_path / "elsewhere"))
    assert run("restore", *files)[0] == 1
