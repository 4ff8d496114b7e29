"""Practise: home, one topic, one scenario and its answer, history."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.problems import InputProblem
from trainer.use_cases import choose_practice, practise, see_competency, take_top_up
from trainer.use_cases.hold_consultation import is_consultation
from trainer.use_cases.practise import Marked, Planned
from trainer.use_cases.roles import EVERYBODY
from trainer.web.access import who_may
from trainer.web.asking import new_submission, sent_answer
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house, reading, viewer, writing

pages = Blueprint("practice", __name__)
closed_while_sitting(pages)
pages.add_app_template_global(new_submission)
ORDERED = "put_in_order"


@pages.get("/practice")
@who_may("apprentice")
def home() -> str:
    """What to do now, and everything there is to practise."""
    bank = house().bank
    with reading() as unit:
        assigned = choose_practice.assigned(unit)
        wanted = choose_practice.wanted(assigned, clock.now())
        now = choose_practice.do_now(unit, bank, wanted, clock.now())
        standings = see_competency.standings(unit, bank, viewer().person_id)
        asked = take_top_up.mine(unit, bank, clock.now())
    told = {"now": now, "assigned": assigned, "standings": standings, "today": clock.today()}
    open_ = [one for one in asked if one.done_on is None]
    return render_template("practice/home.html", **told, top_ups=open_)


@pages.get("/practice/history")
@who_may("apprentice")
def history() -> str:
    """My answers, newest first."""
    with reading() as unit:
        found = practise.history(unit, request.args.get("before", ""))
    return render_template("practice/history.html", found=found)


@pages.get("/practice/<method>/<topic>")
@who_may("apprentice")
def topic(method: str, topic: str) -> str:
    """One topic of a method: how I stand, and a scenario on it."""
    bank = house().bank
    with reading() as unit:
        standing = see_competency.standing_of(unit, bank, viewer().person_id, method, topic)
    return render_template("practice/topic.html", method=method, topic=topic, standing=standing)


@pages.post("/practice/<method>/<topic>")
@who_may("apprentice")
def next_item(method: str, topic: str) -> ResponseReturnValue:
    """Show the next scenario on a topic."""
    bank, kind = house().bank, request.form.get("kind", "")
    with reading() as unit:
        planned = practise.plan_next(unit, bank, method, topic, clock.now(), kind)
    if planned.waiting_id and kind:
        flash("This one still waits for your answer, so it comes first.", "watch")
    return _show(planned)


@pages.post("/practice/module/<module_id>")
@who_may("apprentice")
def next_of_module(module_id: str) -> ResponseReturnValue:
    """Show the next scenario of a module, which goes over all its topics."""
    bank, now = house().bank, clock.now()
    with reading() as unit:
        found = choose_practice.next_in(unit, bank, module_id, now)
        planned = practise.plan_next(unit, bank, found.method, found.topic, now) if found else None
    return _show(planned) if planned else redirect(url_for("practice.home"), 303)


def _show(planned: Planned) -> ResponseReturnValue:
    item = practise.make(house().bank, planned)
    with writing() as unit:
        item_id = practise.show_next(unit, planned, item, clock.now())
    return redirect(url_for("practice.item", item_id=item_id), 303)


@pages.get("/practice/item/<item_id>")
@who_may(*EVERYBODY)  # a top-up asks those who only instruct or manage too
def item(item_id: str) -> ResponseReturnValue:
    """A scenario: the question, or the answer with its reason."""
    with reading() as unit:
        seen = practise.see(unit, item_id)
    if is_consultation(seen):
        return redirect(url_for("consultations.room", item_id=item_id))
    if isinstance(seen, Marked):
        return _answered(seen)
    return render_template("practice/item.html", question=seen, item_id=item_id, sent=None)


@pages.post("/practice/item/<item_id>")
@who_may(*EVERYBODY)
def respond(item_id: str) -> ResponseReturnValue:
    """Keep an answer; the page with the reason is built once it is kept."""
    try:
        with writing() as unit:
            marked = practise.respond(unit, item_id, sent_answer(), clock.now())
    except InputProblem as problem:
        return _again(item_id, problem), 400
    return _answered(marked)


def _answered(marked: Marked) -> str:
    found = practise.explain(house().bank, marked)
    heading = marked.item.heading
    return render_template(
        "practice/answered.html",
        found=found,
        counted=marked.counted,
        top_up=marked.top_up,
        stem=marked.item.stem,
        figure=marked.item.figure,
        right=marked.item.key if marked.item.options else None,
        critical_error=marked.mark.critical_error,
        method=heading.method,
        topic=heading.topic,
        ordered=heading.type == ORDERED,
    )


def _again(item_id: str, problem: InputProblem) -> str:
    with reading() as unit:
        seen = practise.see(unit, item_id)
    return render_template(
        "practice/item.html",
        question=seen,
        item_id=item_id,
        sent=request.form,
        problem=problem.said,
    )
