"""Contested questions: the list, one of them, the answer."""

from flask import Blueprint, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import contest_question
from trainer.use_cases.refusals import InputProblem
from trainer.web.access import who_may
from trainer.web.closed import closed_while_sitting
from trainer.web.contests.entries import AnswerEntry
from trainer.web.house import house, reading, writing
from trainer.web.records.issuing import issuing
from trainer.web.telling import tell

pages = Blueprint("contests", __name__, url_prefix="/contests")
closed_while_sitting(pages)


@pages.get("")
@who_may("instructor")
def home() -> str:
    """Those that wait, then those that were answered."""
    with reading() as unit:
        found = contest_question.latest(unit)
    return render_template("contests/home.html", found=found)


@pages.route("/<contest_id>", methods=["GET", "POST"])
@who_may("instructor")
def contest(contest_id: str) -> ResponseReturnValue:
    """One contested question, what was answered, and my answer to the contest."""
    with reading() as unit:
        opened = contest_question.see(unit, contest_id)
    entry = AnswerEntry()
    if entry.validate_on_submit():
        try:
            return _answered(contest_id, entry)
        except InputProblem as problem:
            tell(entry, problem, entry.words)
    code = 400 if entry.errors else 200
    return render_template("contests/contest.html", opened=opened, entry=entry), code


def _answered(contest_id: str, entry: AnswerEntry) -> ResponseReturnValue:
    with writing() as unit:
        count = contest_question.answer(
            unit,
            house().bank,
            contest_id,
            entry.upheld.data == "yes",
            entry.words.data or "",
            entry.reach.data,
            issuing(),
            clock.now(),
        )
    if count:
        sittings = "1 sitting was" if count == 1 else f"{count} sittings were"
        flash(f"Withdrawn. {sittings} decided again.", "good")
    else:
        flash("Answered.", "good")
    return redirect(url_for("contests.home"), 303)
