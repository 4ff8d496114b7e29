"""Sets of new questions as a file for other teaching tools."""

from collections.abc import Iterable

from flask import Blueprint, Response, render_template
from flask.typing import ResponseReturnValue
from wtforms.fields.choices import SelectChoice

from trainer import clock
from trainer.use_cases.draw_questions import Wish
from trainer.use_cases.give_out_questions import give_out
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import REVIEWERS
from trainer.web.access import who_may
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house, writing
from trainer.web.question_sets.entries import QuestionSetEntry
from trainer.web.words import TOPIC_WORDS

pages = Blueprint("question_sets", __name__, url_prefix="/question-sets")
closed_while_sitting(pages)
A_ZIP = "application/zip"


@pages.route("", methods=["GET", "POST"])
@who_may(*REVIEWERS)
def home() -> ResponseReturnValue:
    """Choose what the set holds; the answer is the file."""
    entry = QuestionSetEntry()
    methods = [(method, one.name) for method, one in house().bank.methods.items()]
    entry.method.choices = _offered("Every method", methods)
    entry.topic.choices = _offered("Every topic", TOPIC_WORDS.items())
    if entry.validate_on_submit():
        try:
            return _file(entry)
        except InputProblem:
            entry.kind.errors = ("No questions are all of this. Choose less narrowly.",)
    return render_template("question_sets/home.html", entry=entry), 400 if entry.errors else 200


def _offered(every: str, ways: Iterable[tuple[str, str]]) -> list[SelectChoice]:
    return [SelectChoice("", every), *(SelectChoice(*one) for one in ways)]


def _file(entry: QuestionSetEntry) -> Response:
    wish = Wish(
        entry.count.data or 0,
        0,
        entry.method.data,
        entry.topic.data,
        entry.kind.data,
        entry.level.data,
    )
    with writing() as unit:
        content = give_out(
            unit, house().bank, wish, entry.title.data or "", entry.minutes.data or 0, clock.now()
        )
    answer = Response(content, mimetype=A_ZIP)
    answer.headers["Content-Disposition"] = 'attachment; filename="questions-qti3.zip"'
    answer.headers["Cache-Control"] = "no-store"
    return answer
