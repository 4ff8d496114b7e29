"""A consultation on screen: one step a form post, then the decision, the words, the debrief."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.problems import InputProblem
from trainer.use_cases import hold_consultation, practise
from trainer.use_cases.hold_consultation import Held, Room
from trainer.web.access import who_may
from trainer.web.asking import sent_answer
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house, reading, writing

pages = Blueprint("consultations", __name__)
closed_while_sitting(pages)
KINDS = (("ask", "Ask"), ("look", "Look"), ("test", "Test"))


@pages.get("/consultations/<item_id>")
@who_may("apprentice")
def room(item_id: str) -> str:
    """Where the consultation stands: steps, words to the client, or the debrief."""
    return _page(_seen(item_id))


@pages.post("/consultations/<item_id>/step")
@who_may("apprentice")
def step(item_id: str) -> ResponseReturnValue:
    """Take one step, and come back to its finding."""
    with writing() as unit:
        hold_consultation.take(unit, item_id, request.form.get("step", ""), clock.now())
    return redirect(url_for("consultations.room", item_id=item_id, _anchor="latest"), 303)


@pages.get("/consultations/<item_id>/decide")
@who_may("apprentice")
def deciding(item_id: str) -> ResponseReturnValue:
    """Decision and plan to fill in."""
    seen = _seen(item_id)
    if isinstance(seen, Held) or seen.decided:
        return redirect(url_for("consultations.room", item_id=item_id))
    return render_template("consultations/decide.html", room=seen, sent=None)


@pages.post("/consultations/<item_id>/decide")
@who_may("apprentice")
def decide(item_id: str) -> ResponseReturnValue:
    """Let decision and plan stand."""
    try:
        with writing() as unit:
            hold_consultation.decide(unit, item_id, sent_answer(), clock.now())
    except InputProblem as problem:
        told = _told(problem)
        again = render_template(
            "consultations/decide.html", room=_seen(item_id), sent=request.form, problem=told
        )
        return again, 400
    return redirect(url_for("consultations.room", item_id=item_id), 303)


@pages.post("/consultations/<item_id>/words")
@who_may("apprentice")
def tell(item_id: str) -> ResponseReturnValue:
    """Choose what to say to the client; then comes the debrief."""
    try:
        with writing() as unit:
            words = request.form.get("words", "")
            counted = hold_consultation.tell(unit, item_id, words, clock.now())
    except InputProblem as problem:
        return _page(_seen(item_id), _told(problem)), 400
    for one in counted:
        done = "It is done, and your instructor sees it." if one.done else ""
        flash(f"{one.title}: {one.answered} of {one.length} answered. {done}", "good")
    return redirect(url_for("consultations.room", item_id=item_id), 303)


def _seen(item_id: str) -> Room | Held:
    with reading() as unit:
        return hold_consultation.see(unit, item_id)


def _told(problem: InputProblem) -> str:
    said = f"{problem.where} {problem.what}"
    return f"{said[:1].upper()}{said[1:]}. {problem.remedy}"


def _page(seen: Room | Held, problem: str = "") -> str:
    if isinstance(seen, Held):
        found = practise.explain(house().bank, seen.marked)
        return render_template("consultations/debrief.html", held=seen, found=found)
    name = "words" if seen.decided else "room"
    return render_template(f"consultations/{name}.html", room=seen, kinds=KINDS, problem=problem)
