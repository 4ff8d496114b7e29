"""People in and out by OneRoster files: look, take, give."""

from datetime import timedelta

from flask import Blueprint, Response, render_template, request
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.exchange.oneroster import ROLES
from trainer.use_cases import give_roster, take_roster
from trainer.web.access import who_may
from trainer.web.asked import all_asked
from trainer.web.house import house, writing
from trainer.web.rosters.entries import RosterEntry, TakeEntry

pages = Blueprint("rosters", __name__, url_prefix="/rosters")
A_ZIP = "application/zip"


@pages.route("", methods=["GET", "POST"])
@who_may("administrator")
def home() -> ResponseReturnValue:
    """Send a file to see what it would change."""
    entry = RosterEntry()
    if entry.validate_on_submit():
        content = entry.file.data.read()
        with writing() as unit:
            found = take_roster.look(unit, content, clock.now())
            sound = found.plan is not None and not found.faults
            draft = take_roster.keep(unit, content, clock.now()) if sound else ""
        return render_template(
            "rosters/look.html",
            plan=found.plan,
            faults=found.faults,
            draft=draft,
            entry=TakeEntry(seen=found.plan.fingerprint if found.plan else ""),
        ), 200 if sound else 400
    code = 400 if entry.errors else 200
    return render_template("rosters/home.html", entry=entry, words=ROLES), code


@pages.post("/<draft_id>/take")
@who_may("administrator")
def take(draft_id: str) -> str:
    """Do what was looked at; shows the links of whoever was asked, once."""
    lasts = timedelta(days=house().settings.invitation_days)
    with writing() as unit:
        content = take_roster.kept(unit, draft_id)
        seen = request.form.get("seen", "") or "nothing was seen"
        asked = take_roster.take(unit, content, lasts, clock.now(), seen)
    return all_asked(asked, lasts)


@pages.post("/given")
@who_may("administrator")
def give() -> Response:
    """Everybody of the organisation as a file."""
    with writing() as unit:
        content = give_roster.give(unit, clock.now())
    answer = Response(content, mimetype=A_ZIP)
    answer.headers["Content-Disposition"] = 'attachment; filename="people-oneroster.zip"'
    answer.headers["Cache-Control"] = "no-store"
    return answer
