"""What needs the visitor, on screen, and the letter's off button without signing in."""

from tests.conftest import Visit
from tests.support.people import a_person, an_organisation
from tests.use_cases.test_appeal import send
from trainer.use_cases import send_notices
from trainer.use_cases.see_needs import SOURCES
from trainer.web.needs.views import PLACES


def test_the_list_the_choice_and_nothing(visit, sqlite_work, bank, app_with):
    place = an_organisation(sqlite_work)
    boss = a_person(sqlite_work, "instructor", "administrator", organisation=place)
    page = visit(boss)
    html = page.get("/needs")
    assert "Nothing needs you now" in html and "This site sends no letters" in html
    send(sqlite_work, bank, a_person(sqlite_work, organisation=place))
    html = page.get("/needs")
    assert "An appeal" in html and 'href="/appeals"' in html
    app = app_with(smtp_url="smtp://localhost", base_url="https://x.example")
    page = Visit(app.test_client(), boss)
    assert 'value="0" checked' in page.get("/needs")
    assert 'value="7" checked' in page.post("/needs", {"every": "7"})
    with sqlite_work.reading(boss.viewer) as unit:
        assert send_notices.chosen(unit) == 7


def test_one_press_ends_letters_without_signing_in(app, visit, sqlite_work, settings):
    someone = a_person(sqlite_work)
    with sqlite_work.writing(someone.viewer) as unit:
        send_notices.choose(unit, 1)
    token = send_notices._signer(settings.secret_key).dumps([someone.id, someone.organisation])
    app.config["WTF_CSRF_ENABLED"] = True
    stranger = visit()
    assert "Stop the letters?" in stranger.get(f"/needs/stop/{token}")
    with sqlite_work.reading(someone.viewer) as unit:
        assert send_notices.chosen(unit) == 1
    posted = stranger.post(f"/needs/stop/{token}", {"List-Unsubscribe": "One-Click"})
    assert "No more letters" in posted
    with sqlite_work.reading(someone.viewer) as unit:
        assert send_notices.chosen(unit) == 0
    stranger.post("/needs/stop/made-up", code=404)


def test_every_kind_of_need_has_a_page(app):
    assert len(SOURCES) <= len(PLACES) + 2
    for page, _ in PLACES.values():
        assert page in app.view_functions
