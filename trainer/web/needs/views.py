"""What needs the visitor; letters on and off, off also by one click from the letter."""

from flask import Blueprint, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import see_needs, send_notices
from trainer.use_cases.roles import EVERYBODY
from trainer.web.access import ANYONE, who_may
from trainer.web.house import house, reading, writing
from trainer.web.needs.entries import LetterEntry

pages = Blueprint("needs", __name__, url_prefix="/needs")
PLACES = {
    "module": ("practice.home", "Practise"),
    "my_record": ("endings.mine", "See what renews it"),
    "top_up": ("changes.mine", "Read and answer"),
    "sheet": ("observations.mine", "Read it"),
    "offer": ("offers.home", "Say yes or no"),
    "appeal": ("appeals.home", "Read it"),
    "contested": ("sittings.home", "See that result"),
    "assessment": ("sittings.home", "Begin"),
    "admission": ("admissions.home", "Open it"),
    "sign_off": ("observations.home", "Sign off"),
    "second": ("observations.home", "Sign as second observer"),
    "again": ("observations.home", "Watch it"),
    "modules": ("modules.home", "See modules"),
    "contest": ("contests.home", "Read and answer"),
    "panel": ("standards.home", "Rate"),
    "cut": ("standards.home", "Look at it"),
    "booking": ("week.home", "Check again"),
    "evidence": ("overrides.home", "Decide"),
    "change": ("changes.home", "See what changed"),
    "records": ("endings.place", "See whose"),
    "erasure": ("erasures.home", "See who"),
}
"""Kind of need -> the page that deals with it, and what the way there is called."""


@pages.route("", methods=["GET", "POST"])
@who_may(*EVERYBODY)
def home() -> ResponseReturnValue:
    """Everything that needs me here, and whether a letter says so."""
    with reading() as unit:
        found = see_needs.needs(unit, house().bank, house().settings.ending_days, clock.now())
        chosen = send_notices.chosen(unit)
    entry = LetterEntry(every=chosen)
    if entry.validate_on_submit():
        with writing() as unit:
            send_notices.choose(unit, entry.every.data)
        flash("Kept.", "good")
        return redirect(url_for("needs.home"), 303)
    page = render_template(
        "needs/home.html",
        found=found,
        places=PLACES,
        entry=entry,
        mail=house().settings.sends_letters,
    )
    return page, 400 if entry.errors else 200


@pages.get("/stop/<token>")
@who_may(ANYONE)
def ask_stop(token: str) -> str:
    """A button, so that a program that opens every link of a letter stops nothing."""
    return render_template("needs/stop.html", token=token, place="")


@pages.post("/stop/<token>")
@who_may(ANYONE)
def stop(token: str) -> str:
    """No more letters. Mail programs call this by themselves (RFC 8058), so it takes no token of
    a form: the address itself is the proof."""
    with writing() as unit:
        place = send_notices.stop(unit, house().settings.secret_key, token)
    return render_template("needs/stop.html", token=token, place=place)
