"""Every item type has its screen, and keeps what was typed."""

from pathlib import Path

import pytest
from flask import render_template_string
from werkzeug.datastructures import MultiDict

from trainer import web
from trainer.core.items.item import Option
from trainer.core.items.registry import ITEM_TYPES
from trainer.use_cases.question import Question

pytestmark = pytest.mark.usefixtures("plain_questions")

SCREENS = Path(web.__file__).parent / "templates" / "items"
OPTIONS = tuple(Option(name, f"words of {name}") for name in "abc")


def drawn(app, kind, said=None, sent=None):
    question = Question(kind, "m", "t", "fit", "What?", OPTIONS, "g", None, said)
    with app.test_request_context():
        return render_template_string(
            '{% include "items/" ~ question.type ~ ".html" %}', question=question, sent=sent
        )


def test_every_type_has_its_screen():
    assert {path.stem for path in SCREENS.glob("*.html")} == set(ITEM_TYPES)


@pytest.mark.parametrize(
    ("kind", "said", "marked"),
    [
        ("choose_one", ["b"], 'value="b" checked'),
        ("choose_all", ["a", "c"], 'value="c" checked'),
        ("point_at_figure", ["c"], 'value="c" checked'),
        ("put_in_order", ["c", "a"], 'value="1" selected'),
        ("number", 0, 'value="0"'),
        ("number", 41.5, 'value="41.5"'),
        ("date", "2026-03-24", 'value="2026-03-24"'),
    ],
)
def test_an_answer_that_was_kept_is_shown(app, kind, said, marked):
    assert marked in drawn(app, kind, said)
    assert marked not in drawn(app, kind)


@pytest.mark.parametrize(
    ("kind", "sent", "marked"),
    [
        ("choose_one", {"choice": "b"}, 'value="b" checked'),
        ("point_at_figure", {"choice": "b"}, 'value="b" checked'),
        ("put_in_order", {"place_a": "2", "place_b": "2"}, 'value="2" selected'),
        ("number", {"value": "many"}, 'value="many"'),
        ("date", {"date": "soon"}, 'value="soon"'),
    ],
)
def test_what_was_typed_stays(app, kind, sent, marked):
    assert marked in drawn(app, kind, None, MultiDict(sent))


def test_a_step_left_out_stays_out(app):
    html = drawn(app, "put_in_order", ["c", "a"])
    assert html.count('value="out" selected') == 1
