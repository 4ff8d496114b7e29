"""Sign-off at the chair: choose whom and what, tick the sheet, sign."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.records.standing import OBSERVED_SERVICES
from trainer.use_cases import assign_module, review_cohort, sign_off
from trainer.use_cases.refusals import InputProblem
from trainer.web.access import SIGNED_IN, who_may
from trainer.web.asking import new_submission
from trainer.web.house import house, reading, viewer, writing
from trainer.web.observations.entries import SheetEntry, WatchEntry
from trainer.web.records.issuing import issuing
from trainer.web.words import SERVICE_WORDS, method_name

pages = Blueprint("observations", __name__, url_prefix="/observations")


@pages.get("")
@who_may("instructor")
def home() -> ResponseReturnValue:
    """Who waits to be watched, and a choice of anybody else."""
    bank, asked = house().bank, WatchEntry(request.args)
    with reading() as unit:
        _, apprentices = assign_module.choices(unit)
        waiting = review_cohort.waiting(unit, bank, issuing(), clock.now())
        latest = sign_off.latest(unit)
    asked.person.choices = [one for one in apprentices if one[0] != viewer().person_id]
    there = {method: sign_off.services_to_watch(bank, method) for method in bank.methods}
    asked.method.choices = [(one, method_name(one)) for one, services in there.items() if services]
    asked.service.choices = [(one, SERVICE_WORDS[one]) for one in OBSERVED_SERVICES]
    if "service" in request.args and asked.validate():
        if asked.service.data in there[asked.method.data]:
            return redirect(
                url_for(
                    "observations.sheet",
                    person_id=asked.person.data,
                    method=asked.method.data,
                    service=asked.service.data,
                )
            )
        asked.service.errors = ("This method has no sheet for that service.",)
    code = 400 if asked.errors else 200
    return render_template(
        "observations/home.html", entry=asked, waiting=waiting, latest=latest
    ), code


@pages.route("/<person_id>/<method>/<service>", methods=["GET", "POST"])
@who_may("instructor")
def sheet(person_id: str, method: str, service: str) -> ResponseReturnValue:
    """The criteria to watch, and the signature."""
    with reading() as unit:
        asked = sign_off.sheet(unit, house().bank, person_id, method, service)
    entry = SheetEntry()
    entry.met.choices = [(one.id, one.text) for one in asked.criteria]
    if request.method == "GET":
        entry.on.data = clock.today()
        entry.submission_id.data = new_submission()
    elif entry.validate():
        try:
            return _signed(asked, entry)
        except InputProblem as problem:
            _attach(entry, problem)
    code = 400 if entry.errors else 200
    return (
        render_template(
            "observations/sheet.html",
            sheet=asked,
            entry=entry,
            critical=[one.id for one in asked.criteria if one.critical],
            others=[one.id for one in asked.criteria if not one.critical],
            needed=sign_off.others_needed(asked, house().settings.observation_share),
        ),
        code,
    )


@pages.get("/mine")
@who_may("apprentice")
def mine() -> str:
    """My own work as it was watched."""
    with reading() as unit:
        lines = sign_off.mine(unit)
    return render_template("observations/mine.html", lines=lines)


@pages.get("/<observation_id>")
@who_may(SIGNED_IN)
def observation(observation_id: str) -> str:
    """One observation as it was signed."""
    with reading() as unit:
        seen = sign_off.see(unit, observation_id)
    return render_template("observations/observation.html", seen=seen, line=seen.line)


def _signed(asked: sign_off.Sheet, entry: SheetEntry) -> ResponseReturnValue:
    here = house()
    password, now = entry.password.data or "", clock.now()
    proven = sign_off.prove(here.work, viewer(), here.passwords, password, now)
    watched = sign_off.Watched(
        asked.person_id,
        asked.method,
        asked.service,
        frozenset(entry.met.data or []),
        entry.notes.data or "",
        entry.on.data or clock.today(),
        entry.submission_id.data or "",
    )
    with writing() as unit:
        signed = sign_off.sign(
            unit,
            here.bank,
            watched,
            proven,
            here.settings.observation_share,
            issuing(),
            clock.now(),
        )
    if signed.record_id:
        flash(f"That was the last one: {asked.name}'s completion record is issued.", "good")
    return redirect(url_for("observations.observation", observation_id=signed.id), 303)


def _attach(entry: SheetEntry, problem: InputProblem) -> None:
    where = {"criteria": "met", "sheet": "met"}.get(problem.where, problem.where)
    said = f"{problem.what}. {problem.remedy}"
    field = entry[where]
    field.errors = (*field.errors, f"{said[:1].upper()}{said[1:]}")
