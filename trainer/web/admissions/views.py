"""Letting people sit: the list, one of them, and whether it is asked for."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import accommodate, admit_candidate, set_aside_sitting
from trainer.use_cases.refusals import Forbidden, InputProblem
from trainer.use_cases.roles import DECIDERS
from trainer.web.access import who_may
from trainer.web.admissions.entries import AccommodationEntry, DeclineEntry, OpenEntry, ReviewEntry
from trainer.web.house import house, reading, writing
from trainer.web.telling import tell

pages = Blueprint("admissions", __name__)


@pages.get("/admissions")
@who_may(*DECIDERS)
def home() -> str:
    """Who waits to be let in, and for whom it is open."""
    with reading() as unit:
        desk = admit_candidate.desk(unit, clock.now())
    return render_template("admissions/home.html", desk=desk)


@pages.post("/admissions/invigilated")
@who_may("administrator")
def invigilated() -> ResponseReturnValue:
    """Have assessments opened by an instructor, or not."""
    wanted = request.form.get("wanted") == "yes"
    with writing() as unit:
        admit_candidate.invigilate(unit, wanted, clock.now())
    flash("Kept. It holds from now on.", "good")
    return redirect(url_for("admissions.home"), 303)


@pages.route("/admissions/<admission_id>", methods=["GET", "POST"])
@who_may("instructor")
def one(admission_id: str) -> ResponseReturnValue:
    """Open an assessment for somebody: who they are, what is made easier."""
    entry = OpenEntry()
    opening = _opening(admission_id)
    if request.method == "GET":
        entry.start_from(opening.granted)
    if entry.validate_on_submit():
        try:
            return _opened(admission_id, entry, opening.candidate.name)
        except InputProblem as problem:
            tell(entry, problem)
        except Forbidden as problem:
            entry.identity.errors = (problem.why,)
    return _page(opening, entry, DeclineEntry(formdata=None)), 400 if entry.errors else 200


@pages.post("/admissions/<admission_id>/decline")
@who_may("instructor")
def decline(admission_id: str) -> ResponseReturnValue:
    """Not now, with the reason."""
    opening, refusing = _opening(admission_id), DeclineEntry()
    if refusing.validate_on_submit():
        try:
            with writing() as unit:
                admit_candidate.decline(unit, admission_id, refusing.why.data or "", clock.now())
            flash(f"{opening.candidate.name} reads why.", "good")
            return redirect(url_for("admissions.home"), 303)
        except InputProblem as problem:
            tell(refusing, problem)
    entry = OpenEntry(formdata=None)
    entry.start_from(opening.granted)
    return _page(opening, entry, refusing), 400


@pages.route("/sittings/<sitting_id>/review", methods=["GET", "POST"])
@who_may(*DECIDERS)
def review(sitting_id: str) -> ResponseReturnValue:
    """A person looks at a sitting, and sets it aside if something went wrong around it."""
    entry = ReviewEntry()
    with reading() as unit:
        seen = set_aside_sitting.see(unit, sitting_id)
    if entry.validate_on_submit():
        try:
            with writing() as unit:
                said = entry.reason.data or ""
                set_aside_sitting.set_aside(unit, sitting_id, said, clock.now())
            flash("Set aside. They may sit again without a wait.", "good")
            return redirect(url_for("admissions.review", sitting_id=sitting_id), 303)
        except InputProblem as problem:
            tell(entry, problem)
    page = render_template("admissions/set_aside.html", seen=seen, entry=entry)
    return page, 400 if entry.errors else 200


@pages.route("/people/<person_id>/extra-time", methods=["GET", "POST"])
@who_may(*DECIDERS)
def accommodations(person_id: str) -> ResponseReturnValue:
    """What is made easier for somebody in the assessments opened from now on."""
    entry = AccommodationEntry()
    with reading() as unit:
        name, granted = accommodate.see(unit, person_id)
    if request.method == "GET":
        entry.start_from(granted)
    if not entry.validate_on_submit():
        page = render_template("admissions/accommodations.html", entry=entry, name=name)
        return page, 400 if entry.errors else 200
    with writing() as unit:
        accommodate.grant(unit, person_id, entry.asked, clock.now())
    flash(f"Kept. It holds for assessments that are opened for {name} from now on.", "good")
    return redirect(url_for("admissions.accommodations", person_id=person_id), 303)


def _opening(admission_id: str) -> admit_candidate.Opening:
    days = house().settings.retake_days
    with reading() as unit:
        return admit_candidate.see(unit, house().bank, admission_id, days, clock.now())


def _opened(admission_id: str, entry: OpenEntry, name: str) -> ResponseReturnValue:
    bank, days = house().bank, house().settings.retake_days
    with writing() as unit:
        admit_candidate.admit(
            unit, bank, admission_id, entry.identity.data, entry.asked, days, clock.now()
        )
    flash(f"Open for {name}. The clock starts when they begin.", "good")
    return redirect(url_for("admissions.home"), 303)


def _page(opening: admit_candidate.Opening, entry: OpenEntry, refusing: DeclineEntry) -> str:
    return render_template("admissions/one.html", opening=opening, entry=entry, refusing=refusing)
