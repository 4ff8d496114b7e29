"""Other evidence: what waits for a decision, asking, deciding."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import accept_evidence, keep_people
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.roles import DECIDERS
from trainer.web.access import who_may
from trainer.web.house import house, prove, reading, writing
from trainer.web.overrides.entries import AskEntry, DecideEntry
from trainer.web.records.issuing import issuing
from trainer.web.telling import tell
from trainer.web.words import SERVICE_WORDS

pages = Blueprint("overrides", __name__, url_prefix="/other-evidence")


@pages.get("")
@who_may(*DECIDERS)
def home() -> str:
    """What waits, and what was decided last."""
    with reading() as unit:
        waiting, decided = accept_evidence.undecided(unit), accept_evidence.decided(unit)
    return render_template("overrides/home.html", waiting=waiting, decided=decided)


@pages.route("/ask", methods=["GET", "POST"])
@who_may(*DECIDERS)
def ask() -> ResponseReturnValue:
    """Ask that other evidence counts for somebody's service."""
    bank, method = house().bank, request.args.get("method", "")
    person_id = request.args.get("person", "")
    if method not in bank.methods:
        raise NotFound
    entry = AskEntry()
    entry.service.choices = [
        (one, SERVICE_WORDS[one]) for one in bank.methods[method].scheme.observed
    ]
    with reading() as unit:
        member = keep_people.see_member(unit, person_id)
    if entry.validate_on_submit():
        said = entry.service.data, entry.reason.data or ""
        try:
            with writing() as unit:
                accept_evidence.ask(unit, bank, person_id, method, *said, clock.now())
            flash("Asked. Somebody who did not watch this work must decide.", "good")
            return redirect(url_for("overrides.home"), 303)
        except InputProblem as problem:
            tell(entry, problem)
    page = render_template("overrides/ask.html", entry=entry, member=member, method=method)
    return page, 400 if entry.errors else 200


@pages.route("/<acceptance_id>", methods=["GET", "POST"])
@who_may(*DECIDERS)
def decide(acceptance_id: str) -> ResponseReturnValue:
    """Decide one request."""
    entry = DecideEntry()
    with reading() as unit:
        found = accept_evidence.one(unit, acceptance_id)
    if entry.validate_on_submit():
        try:
            return _decided(entry, found)
        except InputProblem as problem:
            tell(entry, problem, entry.decision)
    page = render_template("overrides/decide.html", entry=entry, found=found)
    return page, 400 if entry.errors else 200


def _decided(entry: DecideEntry, found: accept_evidence.Request) -> ResponseReturnValue:
    proven = prove(entry.password.data)
    agreed, reason = entry.decision.data == "yes", entry.reason.data or ""
    with writing() as unit:
        record_id = accept_evidence.decide(
            unit, house().bank, proven, found.id, agreed, reason, issuing(), clock.now()
        )
    issued = f" {found.name}'s completion record is issued." if record_id else ""
    flash(f"The decision is kept.{issued}", "good")
    return redirect(url_for("overrides.home"), 303)
