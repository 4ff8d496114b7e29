"""People by file on screen: see first, take once, links shown once, nothing for strangers."""

import io
import re
from zipfile import ZipFile

import pytest

from tests.support.people import PASSWORD, a_person
from tests.support.rosters import an_academy, role, user
from trainer.store import people


@pytest.fixture
def boss(sqlite_work):
    return a_person(sqlite_work, "administrator")


def sent(content):
    return {"file": (io.BytesIO(content), "people.zip")}


def looked(here, content, code=200):
    return here.post("/rosters", sent(content), code=code)


def yes(page):
    path = re.search(r'action="(/rosters/\w+/take)"', page).group(1)
    return path, {"seen": re.search(r'name="seen" type="hidden" value="(\w+)"', page).group(1)}


TWO = an_academy([user(1, "Ada Quill"), user(2, "Bo Ash")], [role(1), role(2, "teacher")])


def test_from_a_file_to_people_with_links(visit, sqlite_work, boss):
    here = visit(boss)
    assert "salon_manager" in here.get("/rosters")
    page = looked(here, TWO)
    assert "2 to ask, 0 changed, 0 leaving" in page and "Ada Quill" in page
    done = here.post(*yes(page))
    links = re.findall(r"http://localhost(/join/[\w-]+)", done)
    assert len(links) == 2
    assert "u1@roster.example" in visit().get(links[0])
    again = looked(here, TWO)
    assert "Nobody changes" in again and "2 asked and not answered yet" in again
    visit().post(links[0], {"password": PASSWORD})
    assert "You said no" in visit().post(f"{links[1]}/no")
    again = looked(here, TWO)
    assert "1 as before, 1 who said no" in again and "Nobody changes" in again


def test_a_file_is_taken_once_and_only_as_it_was_seen(visit, sqlite_work, boss):
    here = visit(boss)
    path, seen = yes(looked(here, TWO))
    assert "changed since you looked" in here.post(path, {"seen": "other"}, code=400)
    assert "changed since you looked" in here.post(path, {}, code=400)
    here.post(path, seen)
    here.post(path, seen, code=404)
    visit(a_person(sqlite_work, "administrator")).post(path, seen, code=404)


def test_every_fault_is_shown_with_its_place(visit, boss):
    wrong = an_academy([user(1, username=""), user(2, enabledUser="?")], [])
    page = looked(visit(boss), wrong, code=400)
    assert "Nothing has changed" in page
    for words in ("users.csv", "username", "enabledUser", "is empty"):
        assert words in page
    assert "is no zip" in looked(visit(boss), b"a letter", code=400)
    assert "Choose the file." in visit(boss).post("/rosters", {}, code=400)


def test_people_go_out_and_come_back_unchanged(visit, sqlite_work, boss):
    here = visit(boss)
    answer = here.client.post("/rosters/given")
    assert (answer.status_code, answer.mimetype) == (200, "application/zip")
    names = ZipFile(io.BytesIO(answer.data)).namelist()
    assert names == ["manifest.csv", "orgs.csv", "roles.csv", "users.csv"]
    assert "Nobody changes" in looked(here, answer.data)


def test_only_administrators_may(visit, sqlite_work, boss):
    for given in ("instructor", "salon_manager", "apprentice"):
        here = visit(a_person(sqlite_work, given, organisation=boss.organisation))
        here.get("/rosters", code=403)
        here.post("/rosters/given", code=403)
    with sqlite_work.reading(boss.viewer) as unit:
        assert len(people.members(unit)) == 4
