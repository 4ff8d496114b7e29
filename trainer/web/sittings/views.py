"""Assessments: what is offered, the start, one question a page, the end."""

from flask import Blueprint, flash, jsonify, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.problems import InputProblem
from trainer.use_cases import (
    ask_to_sit,
    begin_sitting,
    certify,
    contest_question,
    draw_form,
    finish_sitting,
    pause_sitting,
    refresh_record,
    see_result,
    sit_assessment,
)
from trainer.use_cases.sit_assessment import Page
from trainer.web.access import who_may
from trainer.web.asking import sent_answer, submission_id
from trainer.web.closed import instead_while_sitting
from trainer.web.house import house, reading, writing
from trainer.web.records.issuing import issuing
from trainer.web.starting.entries import AskEntry

pages = Blueprint("sittings", __name__)
CALM = (
    "Some answers could hurt a client. "
    "Before your result, here are fresh questions on those points."
)


@pages.get("/assessments")
@who_may("apprentice")
def home() -> str:
    """Every method's assessment, and whether I may sit it now."""
    bank, days = house().bank, house().settings.retake_days
    with reading() as unit:
        offers = [
            sit_assessment.offer(unit, bank, method, days, clock.now()) for method in bank.methods
        ]
        asked = ask_to_sit.states(unit, clock.now())
    return render_template("sittings/home.html", offers=offers, asked=asked)


@pages.get("/assessments/<method>")
@who_may("apprentice")
def start(method: str) -> str:
    """What the assessment of a method asks, what I need for it, and the way in."""
    bank, days, now = house().bank, house().settings.retake_days, clock.now()
    with reading() as unit:
        offer = sit_assessment.offer(unit, bank, method, days, now)
        mine = ask_to_sit.eligibility(unit, bank, method, sit_assessment.FULL, days, now)
    return render_template(
        "sittings/start.html", offer=offer, mine=mine, asking=AskEntry(), retake_days=days
    )


@pages.post("/assessments/<method>")
@who_may("apprentice")
def begin(method: str) -> ResponseReturnValue:
    """Begin what was opened for me, or go on with the open one."""
    bank, now = house().bank, clock.now()
    with reading() as unit:
        offer = sit_assessment.offer(unit, bank, method, 0, now)
        mine = ask_to_sit.eligibility(unit, bank, method, sit_assessment.FULL, 0, now)
        seen = draw_form.lately(unit, bank, method)
        renewing = mine.kind == sit_assessment.REFRESH
        refresh = refresh_record.offer(unit, bank, method, now) if renewing else None
    if offer.waiting_id:
        return redirect(url_for("sittings.question", sitting_id=offer.waiting_id), 303)
    if not mine.is_open:
        flash("Nobody has opened it for you yet.", "watch")
        return redirect(url_for("sittings.start", method=method), 303)
    prepared = (
        refresh_record.prepare(bank, refresh, seen)
        if refresh
        else sit_assessment.prepare(bank, method, seen)
    )
    with writing() as unit:
        sitting_id = begin_sitting.begin(unit, bank, method, prepared, clock.now())
    return redirect(url_for("sittings.question", sitting_id=sitting_id), 303)


@pages.get("/sittings/<sitting_id>")
@who_may("apprentice")
def question(sitting_id: str) -> ResponseReturnValue:
    """Where I was: the question that I looked at last, or the result."""
    return _at(sitting_id, None)


@pages.get("/sittings/<sitting_id>/<int:number>")
@who_may("apprentice")
def numbered(sitting_id: str, number: int) -> ResponseReturnValue:
    """One question of the present part."""
    return _at(sitting_id, number)


@pages.post("/sittings/<sitting_id>/<int:position>/answer")
@who_may("apprentice")
def answer(sitting_id: str, position: int) -> ResponseReturnValue:
    """Keep an answer; then the next question, or a word that it is kept."""
    scripted = request.accept_mimetypes.best == "application/json"
    now = clock.now()
    try:
        with writing() as unit:
            sit_assessment.save_answer(
                unit, sitting_id, position, sent_answer(), submission_id(), now
            )
            if not scripted and not _is_last():
                sit_assessment.look_at(unit, sitting_id, _next())
    except InputProblem as problem:
        if scripted:
            raise
        return _refused(sitting_id, problem)
    if scripted:
        return jsonify({"kept": True, "at": f"{now:%H:%M} UTC"})
    if _is_last():
        return redirect(url_for("sittings.before_finish", sitting_id=sitting_id), 303)
    return redirect(url_for("sittings.numbered", sitting_id=sitting_id, number=_next()), 303)


@pages.post("/sittings/<sitting_id>/<int:position>/flag")
@who_may("apprentice")
def flag(sitting_id: str, position: int) -> ResponseReturnValue:
    """Mark a question to come back to, or take the mark away."""
    with writing() as unit:
        flagged = request.form.get("flagged") == "yes"
        sit_assessment.flag(unit, sitting_id, position, flagged, clock.now())
    return redirect(url_for("sittings.numbered", sitting_id=sitting_id, number=_next()), 303)


@pages.post("/sittings/<sitting_id>/<int:position>/pause")
@who_may("apprentice")
def pause(sitting_id: str, position: int) -> ResponseReturnValue:
    """Stop the clock for a while, and keep what the page holds."""
    try:
        with writing() as unit:
            sent, key = sent_answer(), submission_id()
            pause_sitting.pause(unit, sitting_id, position, sent, key, clock.now())
    except InputProblem as problem:
        return _refused(sitting_id, problem)
    return redirect(url_for("sittings.paused", sitting_id=sitting_id), 303)


@pages.get("/sittings/<sitting_id>/pause")
@who_may("apprentice")
def paused(sitting_id: str) -> ResponseReturnValue:
    """The pause: how long it may last, and the way on. No question is shown."""
    now = clock.now()
    with reading() as unit:
        state = sit_assessment.state_of(unit, sitting_id, now)
        sitting, stopped = pause_sitting.see(unit, sitting_id)
    if state != "paused":
        return redirect(url_for("sittings.question", sitting_id=sitting_id), 303)
    return render_template("sittings/pause.html", sitting=sitting, clock=stopped, now=now)


@pages.post("/sittings/<sitting_id>/go-on")
@who_may("apprentice")
def go_on(sitting_id: str) -> ResponseReturnValue:
    """End the pause: the same question, the same time left."""
    with writing() as unit:
        pause_sitting.go_on(unit, sitting_id, clock.now())
    return redirect(url_for("sittings.question", sitting_id=sitting_id), 303)


@pages.get("/sittings/<sitting_id>/finish")
@who_may("apprentice")
def before_finish(sitting_id: str) -> ResponseReturnValue:
    """What is still open, before I finish."""
    found = _page(sitting_id, None)
    if not isinstance(found, Page):
        return found
    return render_template("sittings/finish.html", page=found)


@pages.post("/sittings/<sitting_id>/finish")
@who_may("apprentice")
def finish(sitting_id: str) -> ResponseReturnValue:
    """End this part: fresh questions where something could hurt someone, else the result."""
    return _finish(sitting_id)


@pages.get("/sittings/<sitting_id>/result")
@who_may("apprentice")
def result(sitting_id: str) -> str:
    """The decision, what it rests on, and every question with its mark."""
    with reading() as unit:
        sitting, reviewed = finish_sitting.review(unit, sitting_id)
        contested = contest_question.of_sitting(unit, sitting_id)
        decisions = contest_question.history(unit, sitting_id)
        drawn = see_result.against_cut(house().bank, sitting, reviewed)
        again = sit_assessment.again_from(sitting, house().settings.retake_days, clock.now())
    return render_template(
        "sittings/result.html",
        sitting=sitting,
        reviewed=reviewed,
        drawn=drawn,
        contested=contested,
        decisions=decisions,
        again=again,
    )


@pages.get("/sittings/<sitting_id>/result/<int:position>")
@who_may("apprentice")
def reason(sitting_id: str, position: int) -> ResponseReturnValue:
    """One question of a sitting that is done: the answer, the mark and the reason.

    Closed while another is being sat.
    """
    return instead_while_sitting() or _reason(sitting_id, position)


@pages.post("/sittings/<sitting_id>/result/<int:position>/contest")
@who_may("apprentice")
def contest(sitting_id: str, position: int) -> ResponseReturnValue:
    """Say what is wrong with a question."""
    comment = request.form.get("comment", "")
    try:
        with writing() as unit:
            contest_question.contest(unit, sitting_id, position, comment, clock.now())
    except InputProblem as problem:
        return _reason(sitting_id, position, problem)
    flash("Sent. An instructor will read it, and answer here.", "good")
    return redirect(url_for("sittings.reason", sitting_id=sitting_id, position=position), 303)


def _reason(
    sitting_id: str, position: int, problem: InputProblem | None = None
) -> ResponseReturnValue:
    with reading() as unit:
        sitting, reviewed = finish_sitting.review(unit, sitting_id)
        contested = contest_question.of_sitting(unit, sitting_id)
    if not 1 <= position <= len(reviewed):
        return redirect(url_for("sittings.result", sitting_id=sitting_id), 303)
    one = reviewed[position - 1]
    page = render_template(
        "sittings/reason.html",
        sitting=sitting,
        one=one,
        last=len(reviewed),
        found=finish_sitting.explain(house().bank, one),
        key_lines=finish_sitting.key_in_words(one),
        contest=contested.get(position),
        comment=request.form.get("comment", ""),
        problem=problem.said if problem else "",
    )
    return page, 400 if problem else 200


def _at(sitting_id: str, number: int | None) -> ResponseReturnValue:
    found = _page(sitting_id, number)
    if not isinstance(found, Page):
        return found
    if found.sitting.place != found.here.position:
        with writing() as unit:
            sit_assessment.look_at(unit, sitting_id, found.here.number)
    return render_template("sittings/question.html", page=found, question=found.question, sent=None)


def _page(sitting_id: str, number: int | None) -> Page | ResponseReturnValue:
    """The sitting at a question; where its time is over, it is finished first."""
    now = clock.now()
    with reading() as unit:
        state = sit_assessment.state_of(unit, sitting_id, now)
        if state == "open":
            return sit_assessment.page(unit, sitting_id, number, now)
    if state == "lapsed":
        return _finish(sitting_id)
    if state == "paused":
        return redirect(url_for("sittings.paused", sitting_id=sitting_id), 303)
    return redirect(url_for("sittings.result", sitting_id=sitting_id), 303)


def _finish(sitting_id: str) -> ResponseReturnValue:
    bank, now = house().bank, clock.now()
    with writing() as unit:
        row = finish_sitting.finish(unit, bank, sitting_id, now)
        if row.passed:
            certify.consider(
                unit, bank, row.person_id, row.organisation_id, row.method, issuing(), now
            )
    if row.state != "done":
        flash(CALM, "watch")
        return redirect(url_for("sittings.question", sitting_id=sitting_id), 303)
    return redirect(url_for("sittings.result", sitting_id=sitting_id), 303)


def _refused(sitting_id: str, problem: InputProblem) -> ResponseReturnValue:
    found = _page(sitting_id, _sent_number("number"))
    if not isinstance(found, Page):
        return found
    said = problem.said
    return (
        render_template(
            "sittings/question.html",
            page=found,
            question=found.question,
            sent=request.form,
            problem=said,
        ),
        400,
    )


def _sent_number(name: str) -> int | None:
    said = request.form.get(name, "")
    return int(said) if said.isdecimal() else None


def _is_last() -> bool:
    return request.form.get("next") == "end"


def _next() -> int:
    return _sent_number("next") or 1
