"""Every page says who may open it, and one that does not is closed."""

import ast

from tests.house_rules.reading import ROOT, tracked
from trainer.web.access import who_may

ASKING = {"who_may", "must_be", "is_a"}


def lists_of_their_own(source):
    """Lines that ask for several roles by their words, where a list in `roles.py` would say why."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call)
        and getattr(node.func, "attr", getattr(node.func, "id", "")) in ASKING
        and sum(isinstance(one, ast.Constant) for one in node.args) > 1
    ]


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


def test_several_roles_are_asked_for_by_what_they_may_do():
    found = {
        path.relative_to(ROOT).as_posix(): lines
        for path in tracked(".py")
        if ROOT / "trainer" in path.parents
        if (lines := lists_of_their_own(path.read_text()))
    }
    assert found == {}
    assert lists_of_their_own("viewer.must_be('instructor', 'administrator')") == [1]
    assert lists_of_their_own("@who_may('instructor', 'administrator')\ndef page(): ...") == [1]
    assert lists_of_their_own("viewer.must_be('instructor')\nviewer.is_a(*DECIDERS)") == []
