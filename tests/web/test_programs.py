"""The pages about other programs: codes made and ended, the guide, and its two short programs."""

import os
import re
import subprocess
import sys

import pytest

from tests.support.people import a_person
from tests.support.programs import Program, a_code
from tests.support.site import running_site
from trainer import clock
from trainer.web.api.examples import examples
from trainer.web.api.problems import ADDRESS


def test_a_code_is_shown_once_works_and_ends(visit, sqlite_work, client):
    boss = a_person(sqlite_work, "salon_manager")
    desk = visit(boss)
    assert "No program may ask here yet" in desk.get("/programs")
    made = desk.post("/programs", {"label": "Front desk", "purpose": "team"})
    code = re.search(r"trainer_[\w-]+", made)[0]
    assert Program(client, code).get("/people")["people"] == []
    page = desk.get("/programs")
    assert "Front desk" in page and code not in page and f"{clock.today():%b %Y}" in page
    desk.post(re.search(r"/programs/\w+/end", page)[0])
    Program(client, code).refused("/people", 401)
    assert "No program may ask here yet" in desk.get("/programs")


def test_what_is_missing_is_asked_for_again(visit, sqlite_work):
    page = visit(a_person(sqlite_work, "administrator")).post("/programs", {}, 400)
    assert "Write the name of the program." in page and "Choose one." in page


def test_codes_are_for_those_who_look_after_the_place(visit, sqlite_work):
    visit(a_person(sqlite_work, "instructor")).get("/programs", 403)
    theirs = a_person(sqlite_work, "administrator")
    a_code(sqlite_work, theirs, "team")
    page = visit(theirs).get("/programs")
    address = re.search(r"/programs/\w+/end", page)[0]
    visit(a_person(sqlite_work, "administrator")).post(address, code=404)


def test_the_guide_is_written_from_the_description(visit):
    page = visit().get("/programs/guide")
    for said in ("GET /clearance", "supervised_only", "too-many", "ask.py", "not_started"):
        assert said in page
    anchors = set(re.findall(r'href="#([\w-]+)"', page))
    assert anchors <= set(re.findall(r'id="([\w-]+)"', page))


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    with running_site(tmp_path_factory.mktemp("asked")) as running:
        yield running


@pytest.fixture(scope="module")
def boss(site):
    found = a_person(site.work, "administrator")
    a_person(site.work, organisation=found.organisation, name="Noor Haddad")
    return found


def run(folder, name, site, code, *asked):
    """Run a program of the guide as it stands there."""
    file = folder / name
    file.write_text(examples(site.address + ADDRESS)[name])
    with_what = [sys.executable] if name.endswith(".py") else ["sh"]
    return subprocess.run(
        [*with_what, file, site.address + ADDRESS, *map(str, asked)],
        capture_output=True,
        text=True,
        env={"PATH": os.environ["PATH"], "TRAINER_CODE": code},
        check=False,
    )


def test_the_guide_s_python_program_runs(tmp_path, site, boss):
    code = a_code(site.work, boss, "clearance")
    asked = ("Noor Haddad", "tape_in", "fit", clock.today())
    found = run(tmp_path, "ask.py", site, code, *asked)
    assert (found.returncode, found.stderr) == (1, "")
    assert found.stdout.startswith("Not cleared\nNoor Haddad has not started")
    assert "not of this client" in found.stdout
    wrong = run(tmp_path, "ask.py", site, code, "Noor Haddad", "glue_gun", "fit", clock.today())
    assert "method is not one of" in wrong.stderr
    assert "Nobody of your team" in run(tmp_path, "ask.py", site, code, "Nobody", *asked[1:]).stderr
    assert "unknown, or was ended" in run(tmp_path, "ask.py", site, "trainer_x", *asked).stderr


def test_the_guide_s_shell_program_runs(tmp_path, site, boss):
    code, place = a_code(site.work, boss, "changes"), tmp_path / "place"
    first = run(tmp_path, "follow.sh", site, code, place)
    assert first.returncode == 0 and "member.changed" in first.stdout, first.stderr
    kept = place.read_text()
    assert re.fullmatch(r"[0-9]+-[0-9a-f]{16}", kept)
    again = run(tmp_path, "follow.sh", site, code, place)
    assert '"changes": []' in again.stdout
    refused = run(tmp_path, "follow.sh", site, "trainer_x", place)
    assert refused.returncode == 1 and "no-access-code" in refused.stderr
    assert place.read_text() == kept
