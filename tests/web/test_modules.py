"""Modules on screen: assign in one form, progress, another day, close."""

import re
from datetime import timedelta

import pytest

from tests.support.people import a_person
from trainer import clock
from trainer.store import modules, people
from trainer.use_cases import keep_people


@pytest.fixture
def boss(sqlite_work):
    return a_person(sqlite_work, "instructor")


@pytest.fixture
def learner(sqlite_work, boss):
    return a_person(sqlite_work, organisation=boss.organisation, name="Ama Owusu")


@pytest.fixture
def group(sqlite_work, boss, learner):
    with sqlite_work.writing(boss.viewer) as unit:
        made = keep_people.make_group(unit, "Monday evening")
        people.set_groups(unit, learner.id, [made])
    return made


def filled(group, **more):
    return {
        "methods": ["tape_in"],
        "topics": ["removal_safety"],
        "length": "20",
        "due_on": (clock.today() + timedelta(days=7)).isoformat(),
        "groups": [group],
        "level": "",
        "submission_id": "one",
    } | more


def the_module(work, boss):
    with work.reading(boss.viewer) as unit:
        return modules.open_ones(unit)[0].id


def test_one_form_assigns_a_module_and_shows_who_has_it(visit, sqlite_work, boss, group):
    page = visit(boss)
    assert "No open modules" in page.get("/modules")
    blank = page.get("/modules/new")
    assert 'value="20"' in blank and "Monday evening" in blank
    html = page.post("/modules/new", filled(group))
    assert "Assigned" in html and "Ama Owusu" in html and "not begun" in html
    assert "Tape-in: safe removal" in page.get("/modules")
    page.post("/modules/new", filled(group))
    with sqlite_work.reading(boss.viewer) as unit:
        assert len(modules.open_ones(unit)) == 1


def test_whoever_has_it_sees_which_is_late(visit, sqlite_work, boss, learner, group):
    for day, name in ((7, "one"), (14, "two")):
        due = (clock.today() + timedelta(days=day)).isoformat()
        visit(boss).post("/modules/new", filled(group, submission_id=name, due_on=due))
    assert 'class="pill bad"' not in visit(learner).get("/practice")
    with sqlite_work.writing(boss.viewer) as unit:
        for row in modules.open_ones(unit):
            unit.session.get(modules.ModuleRow, row.id).due_on = clock.today() - timedelta(days=1)
    assert '<span class="pill bad">late</span>' in visit(learner).get("/practice")


def test_the_form_starts_with_what_the_address_names(visit, boss, learner, group):
    html = visit(boss).get(f"/modules/new?method=tape_in&topic=tension_risk&person={learner.id}")
    ticked = re.findall(r'name="(\w+)" value="(\w+)" checked', html)
    assert ticked == [("methods", "tape_in"), ("topics", "tension_risk"), ("people", learner.id)]


@pytest.mark.parametrize(
    ("change", "label"),
    [
        ({"methods": []}, "Methods"),
        ({"topics": []}, "Topics"),
        ({"topics": ["weather"]}, "Topics"),
        ({"length": "many"}, "How many scenarios"),
        ({"length": "3"}, "How many scenarios"),
        ({"due_on": "2020-01-01"}, "Due on"),
        ({"groups": []}, "Groups"),
    ],
)
def test_a_wrong_form_keeps_what_was_typed_and_names_the_field(visit, boss, group, change, label):
    html = visit(boss).post("/modules/new", filled(group, title="My own name") | change, code=400)
    alert = re.search(r'role="alert".*?</div>', html, re.S).group()
    assert f"{label}:" in alert
    assert "My own name" in html
    if "methods" not in change:
        assert 'value="tape_in" checked' in html
    if "length" in change:
        assert f'value="{change["length"]}"' in html


def test_the_day_moves_and_the_module_closes(visit, sqlite_work, boss, group):
    page = visit(boss)
    page.post("/modules/new", filled(group))
    address = f"/modules/{the_module(sqlite_work, boss)}"
    later = clock.today() + timedelta(days=20)
    assert "is changed" in page.post(f"{address}/due", {"due_on": later.isoformat()})
    html = page.post(f"{address}/due", {"due_on": "2020-01-01"}, code=400)
    assert "That day is over" in html and 'value="2020-01-01"' in html
    assert "is closed" in page.post(f"{address}/close")
    assert "Tape-in: safe removal" in page.get("/modules/closed")
    assert "Another due day" not in page.get(address)


def test_another_house_and_apprentices_find_nothing(visit, sqlite_work, boss, learner, group):
    visit(boss).post("/modules/new", filled(group))
    address = f"/modules/{the_module(sqlite_work, boss)}"
    stranger = visit(a_person(sqlite_work, "instructor"))
    stranger.get(address, 404)
    stranger.post(f"{address}/close", code=404)
    stranger.post(f"{address}/due", {"due_on": clock.today().isoformat()}, code=404)
    stranger.get(f"/modules/closed?before={address[9:]}", 404)
    for closed in ("/modules", "/modules/new", "/modules/closed", address):
        visit(learner).get(closed, 403)


def test_with_nobody_there_the_form_says_whom_to_invite(visit, boss):
    assert "Invite an apprentice" in visit(boss).get("/modules/new")
