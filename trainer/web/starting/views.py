"""Before an assessment: sign the agreement, ask to sit, try a question."""

from flask import Blueprint, flash, jsonify, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import accommodate, agree_to_scheme, ask_to_sit, sit_assessment, warm_up
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.web.access import who_may
from trainer.web.asking import sent_answer
from trainer.web.house import house, prove, reading, viewer, writing
from trainer.web.starting.entries import AgreeEntry, AskEntry
from trainer.web.telling import tell

pages = Blueprint("starting", __name__, url_prefix="/assessments")
BACK = {sit_assessment.FULL: "sittings.start", sit_assessment.REFRESH: "endings.refresh"}
ORDERED = "put_in_order"


@pages.route("/agreement", methods=["GET", "POST"])
@who_may("apprentice")
def agreement() -> ResponseReturnValue:
    """What I agree to before I sit, and my signature."""
    entry = AgreeEntry()
    with reading() as unit:
        found = agree_to_scheme.read(unit, house().bank)
    if entry.validate_on_submit():
        try:
            return _signed(entry)
        except InputProblem as problem:
            tell(entry, problem, entry.password)
    entry.version.data = found.version
    page = render_template("starting/agreement.html", entry=entry, found=found, method=_method())
    return page, 400 if entry.errors else 200


@pages.post("/<method>/<kind>/ask")
@who_may("apprentice")
def ask(method: str, kind: str) -> ResponseReturnValue:
    """Ask to sit."""
    entry, days = AskEntry(), house().settings.retake_days
    try:
        with writing() as unit:
            said = entry.needs.data or ""
            ask_to_sit.ask(unit, house().bank, method, kind, said, days, clock.now())
    except InputProblem as problem:
        flash(f"Not asked: {problem.what}. {problem.remedy}", "bad")
    return redirect(url_for(_back(kind), method=method), 303)


@pages.post("/<method>/<kind>/take-back")
@who_may("apprentice")
def take_back(method: str, kind: str) -> ResponseReturnValue:
    """Take back that I asked."""
    with writing() as unit:
        ask_to_sit.take_back(unit, method, clock.now())
    flash("Taken back. You can ask again at any time.", "good")
    return redirect(url_for(_back(kind), method=method), 303)


@pages.get("/<method>/<kind>/state")
@who_may("apprentice")
def state(method: str, kind: str) -> ResponseReturnValue:
    """Whether it is open by now, for the page that waits."""
    with reading() as unit:
        row = ask_to_sit.pending(unit, viewer().person_id, method, clock.now())
    _back(kind)
    return jsonify({"state": row.state if row else "none"})


@pages.route("/<method>/<kind>/try/<int:number>", methods=["GET", "POST"])
@who_may("apprentice")
def try_one(method: str, kind: str, number: int) -> ResponseReturnValue:
    """A question to try: about nothing, counted nowhere."""
    bank, found, problem = house().bank, None, ""
    if method not in bank.methods:
        raise NotFound
    shown = warm_up.show(bank, number)
    with reading() as unit:
        larger = accommodate.standing(unit, viewer().person_id).larger_type
    if request.method == "POST":
        try:
            found = warm_up.answer(bank, number, sent_answer())
        except InputProblem as wrong:
            problem = wrong.said
    page = render_template(
        "starting/try.html",
        shown=shown,
        question=shown.question,
        sent=request.form if request.method == "POST" else None,
        found=found,
        problem=problem,
        method=method,
        kind=kind,
        back=_back(kind),
        larger=larger,
        ordered=shown.question.type == ORDERED,
    )
    return page, 400 if problem else 200


def _signed(entry: AgreeEntry) -> ResponseReturnValue:
    proven = prove(entry.password.data)
    with writing() as unit:
        read = entry.version.data or ""
        agree_to_scheme.sign(unit, house().bank, proven, read, clock.now())
    flash("Signed. You can read it again at any time.", "good")
    method = _method()
    if method:
        return redirect(url_for("sittings.start", method=method), 303)
    return redirect(url_for("sittings.home"), 303)


def _method() -> str:
    said = request.args.get("method", "")
    return said if said in house().bank.methods else ""


def _back(kind: str) -> str:
    """The page that an assessment of a kind begins from. Raises NotFound for no kind."""
    if kind not in BACK:
        raise NotFound
    return BACK[kind]
