"""Every page says who may open it, and one that does not is closed."""

from trainer.web.access import who_may


def open_to_nobody(app):
    return [name for name, view in app.view_functions.items() if not hasattr(view, "who_may")]


def test_every_page_says_who_may(app):
    assert open_to_nobody(app) == []


def test_a_page_that_says_nothing_is_closed(app):
    app.add_url_rule("/left-open", "left_open", lambda: "open")
    assert open_to_nobody(app) == ["left_open"]
    assert app.test_client().get("/left-open").status_code == 404


def test_a_page_for_a_role_sends_strangers_to_sign_in(app):
    app.add_url_rule("/for-one", "for_one", who_may("instructor")(lambda: "open"))
    answer = app.test_client().get("/for-one")
    assert answer.status_code == 302
    assert "/sign-in" in answer.location
