"""The adviser on screen: who may, what it says, and that nothing is kept."""

import logging
import re

import pytest
from sqlalchemy import inspect, text

from tests.support.people import a_person

ROLES = ("apprentice", "instructor", "salon_manager", "administrator")
BLANK = {"daily_removal_ok": "yes", "returns_for_visits": "yes"}
"""What an untouched sheet sends."""
CLEAR = {**BLANK, "skin_test_result": "clear", "skin_test_hours": "60"}


@pytest.fixture
def adviser(visit, sqlite_work):
    return visit(a_person(sqlite_work))


def rows(work):
    """Every row of every table."""
    with work._engine.connect() as connection:
        names = inspect(connection).get_table_names()
        return {n: connection.execute(text(f"select * from {n}")).all() for n in names}


def glance(page):
    """Method -> verdict, as the list at the top says it."""
    return dict(
        re.findall(r'<li class="\w+"><a href="#of-(\w+)">.*?</span> ([\w ]+)</span>', page, re.S)
    )


@pytest.mark.parametrize("role", ROLES)
def test_every_role_may_ask(visit, sqlite_work, role):
    here = visit(a_person(sqlite_work, role))
    assert "Skin of the scalp" in here.get("/adviser")
    assert "What can be done" in here.post("/adviser", CLEAR)


def test_strangers_may_not(client, visit, sqlite_work):
    assert "/sign-in" in client.get("/adviser").location
    assert "/sign-in" in client.post("/adviser", data=CLEAR).location
    boss = a_person(sqlite_work, "administrator")
    someone = a_person(sqlite_work, organisation=boss.organisation)
    visit(boss).post(f"/people/{someone.id}/leave")
    visit(someone).get("/adviser", code=403)
    visit(someone).post("/adviser", CLEAR, code=403)


def test_every_question_of_the_bank_is_asked(adviser, bank):
    page = adviser.get("/adviser")
    for attribute in bank.attributes.values():
        assert f'id="{attribute.id}"' in page
        for value in attribute.values:
            assert f'value="{value}"' in page


def test_a_clear_client_may_have_them_all(adviser, bank):
    page = adviser.post("/adviser", CLEAR)
    assert glance(page) == dict.fromkeys(bank.methods, "go ahead")


def test_a_reason_comes_with_source_change_and_its_place_in_the_book(adviser):
    page = adviser.post("/adviser", {"live_lice": "yes", **CLEAR})
    assert set(glance(page).values()) == {"refer"}
    assert "Live lice pass from head to head." in page
    assert "What would change it:" in page
    assert "Centers for Disease Control" in page
    assert re.search(r'href="/methods/\w+/\w+#statement-scalp.lice_stop"', page)
    assert "Nothing is planned while the answer is to refer" in page


def test_a_wait_has_its_day_and_a_referral_has_none(adviser):
    sent = {**CLEAR, "skin_test_hours": "20", "on": "2026-03-03"}
    page = adviser.post("/adviser", sent)
    assert glance(page)["tape_in"] == "wait"
    assert "Earliest day: <b>Thu 5 Mar 2026</b>" in page
    assert "Earliest day" not in adviser.post("/adviser", sent | {"live_lice": "yes"})


def test_the_plan_has_grams_sections_dates_load_and_solvent(adviser):
    page = adviser.post("/adviser", {**CLEAR, "wanted_grams": "100", "on": "2026-03-03"})
    for words in (
        "Bonds for 100 g of added hair",
        "100 to 200",
        "Section with as many own hairs",
        "3 to 4 hours",
        "move up from Tue 28 Apr 2026",
        "as practice puts it",
        "no medical limit",
        "Alcohol-based keratin remover is a solvent",
        "above the limit",
    ):
        assert words in page, words


def test_what_was_noted_is_read_back(adviser):
    page = adviser.post("/adviser", {**CLEAR, "live_lice": "yes", "hair_length_cm": "28"})
    noted = page[page.index("What you noted: 4 things") : page.index("Taken as read")]
    for what, words in (("Live head lice", "yes"), ("Length of the client", "28 cm")):
        assert re.search(rf"<dt>{what}[^<]*</dt>\s*<dd>{words}</dd>", noted)
    assert "What you noted: 1 thing<" in adviser.post("/adviser", {"returns_for_visits": "yes"})
    assert "What you noted" not in adviser.post("/adviser", BLANK)


def test_what_nobody_said_is_named(adviser):
    page = adviser.post("/adviser", CLEAR)
    assert "Taken as read" in page
    assert re.search(r"A damp hair, gently stretched</dt>\s*<dd>Springs back", page)
    assert "written nothing about this client" not in page
    assert "written nothing about this client" in adviser.post("/adviser", BLANK)


@pytest.mark.parametrize(
    ("sent", "field", "words"),
    [
        ({"hair_length_cm": "long"}, "hair_length_cm", "Write a number from 1 to 120 cm."),
        ({"hair_length_cm": "500"}, "hair_length_cm", "Write a number from 1 to 120 cm."),
        ({"age": "30.5"}, "age", "Write a whole number"),
        ({"age": "nan"}, "age", "Write a whole number"),
        ({"hair_type": "feathers"}, "hair_type", "Choose one of the list."),
        ({"pain_with_last": "yes"}, "pain_with_last", "Nothing has been worn"),
        ({"on": "tomorrow"}, "on", "Write a day"),
    ],
)
def test_a_mistake_is_said_at_its_field_and_the_rest_is_kept(adviser, sent, field, words):
    page = adviser.post("/adviser", {"wanted_grams": "77", **sent}, code=400)
    assert words in page
    assert f'aria-describedby="{field}-error"' in page or f"{field}-help {field}-error" in page
    assert f'href="#{field}"' in page
    assert 'value="77"' in page
    assert "Method by method" not in page


def test_nothing_is_kept_and_nothing_is_logged(adviser, sqlite_work, caplog):
    caplog.set_level(logging.DEBUG)
    before = rows(sqlite_work)
    sent = {"weeks_since_birth": "17.25", "live_lice": "yes"}
    answer = adviser.client.post("/adviser", data=sent)
    adviser.client.post("/adviser", data=sent | {"age": "173"})
    assert rows(sqlite_work) == before
    assert "17.25" not in caplog.text and "live_lice" not in caplog.text
    assert answer.headers["Cache-Control"] == "no-store"
    with adviser.client.session_transaction() as visit:
        assert set(visit) <= {"_user_id", "_fresh", "organisation", "csrf_token"}
    assert "Nothing about the client is kept" in answer.get_data(as_text=True)


def test_it_changes_nothing_by_address(adviser):
    page = adviser.get("/adviser?live_lice=yes")
    assert "checked" not in re.search(r'<input[^>]*id="live_lice"[^>]*>', page).group()


def test_without_a_token_nothing_is_answered(app, sqlite_work):
    app.config["WTF_CSRF_ENABLED"] = True
    client = app.test_client()
    with client.session_transaction() as kept:
        kept["_user_id"] = f"{a_person(sqlite_work).id}:0"
    assert client.post("/adviser", data=CLEAR).status_code == 400
