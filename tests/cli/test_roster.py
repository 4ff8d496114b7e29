"""trainer roster: check, take, give; faults with their place, exits 0, 1, 2."""

import json

import pytest

from tests.support.command import run
from tests.support.people import join_by
from tests.support.rosters import an_academy, role, user
from trainer import clock
from trainer.cli.instance import instance_work

TWO = an_academy([user(1, "Ada Quill"), user(2, "Bo Ash")], [role(1), role(2, "teacher")])


@pytest.fixture(autouse=True)
def instance(tmp_path, monkeypatch):
    monkeypatch.setenv("TRAINER_INSTANCE", str(tmp_path / "instance"))


def file(folder, content, name="people.zip"):
    path = folder / name
    path.write_bytes(content)
    return path


def test_from_a_file_to_people_and_back(tmp_path):
    place = json.loads(run("users", "found", "--name", "Rowan Lane", "--kind", "academy")[1])["id"]
    path = file(tmp_path, TWO)
    code, out, _ = run("roster", "check", path, "--organisation", place)
    assert code == 0 and [one["name"] for one in json.loads(out)["new"]] == ["Ada Quill", "Bo Ash"]
    code, out, _ = run("roster", "take", path, "--organisation", place)
    assert code == 0
    links = [one["link"] for one in json.loads(out)["asked"]]
    assert len(links) == 2 and all(one.startswith("/join/") for one in links)
    assert run("users", "list")[1] == ""
    code, out, _ = run("roster", "take", path, "--organisation", place)
    said = json.loads(out)
    assert (len(said["waiting"]), said["new"], said["asked"]) == (2, [], [])
    with instance_work() as work:
        for link in links:
            join_by(work, link.removeprefix("/join/"), at=clock.now())
    given = tmp_path / "given.zip"
    assert run("roster", "give", given, "--organisation", place)[0] == 0
    code, out, _ = run("roster", "take", given, "--organisation", place)
    said = json.loads(out)
    assert (said["new"], said["changed"], said["ended"], said["asked"]) == ([], [], [], [])
    people = [json.loads(line) for line in run("users", "list")[1].splitlines()]
    assert {one["name"]: one["memberships"][0]["roles"] for one in people} == {
        "Ada Quill": ["apprentice"],
        "Bo Ash": ["instructor"],
    }
    assert run("log", "verify")[0] == 0


def test_a_broken_file_is_told_with_its_place_and_changes_nothing(tmp_path):
    path = file(tmp_path, an_academy([user(1, username="")], []))
    code, out, _ = run("roster", "check", path)
    said = json.loads(out)
    assert (code, said["sound"]) == (1, False)
    assert said["faults"][0] == {
        "file": "users.csv",
        "line": 2,
        "column": "username",
        "what": "is empty",
    }
    place = json.loads(run("users", "found", "--name", "Rowan Lane", "--kind", "academy")[1])["id"]
    assert run("roster", "take", path, "--organisation", place)[0] == 1
    assert run("users", "list")[1] == ""


def test_wrong_input_ends_with_2(tmp_path):
    path = file(tmp_path, TWO)
    assert "names no organisation" in run("roster", "take", path, "--organisation", "none")[2]
    code, _, err = run("roster", "check", tmp_path / "nothing.zip")
    assert code == 2 and "cannot be read" in err
