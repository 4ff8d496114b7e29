"""Take me out of here; for administrators: who asks, when it is done, and doing it."""

from collections.abc import Callable

from flask import Blueprint, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from flask_wtf import FlaskForm

from trainer import clock
from trainer.use_cases import ask_to_leave, erase_person
from trainer.use_cases.keep_photos import Album
from trainer.use_cases.refusals import InputProblem
from trainer.web.access import SIGNED_IN, who_may
from trainer.web.erasures.entries import BackEntry, DayEntry, TypedEntry
from trainer.web.house import house, reading, writing
from trainer.web.telling import tell

pages = Blueprint("erasures", __name__)


@pages.get("/me/leave")
@who_may(SIGNED_IN)
def mine() -> str:
    """What would go and what would stay; my wish, if I have said it."""
    with reading() as unit:
        wish = ask_to_leave.mine(unit)
    return render_template("erasures/mine.html", wish=wish)


@pages.post("/me/leave")
@who_may(SIGNED_IN)
def ask() -> ResponseReturnValue:
    """I ask."""
    try:
        with writing() as unit:
            ask_to_leave.ask(unit, clock.now())
        flash("Asked. An administrator sees it now.", "good")
    except InputProblem as problem:
        flash(problem.said, "bad")
    return redirect(url_for("erasures.mine"), 303)


@pages.post("/me/stay")
@who_may(SIGNED_IN)
def stay() -> ResponseReturnValue:
    """I would rather stay."""
    with writing() as unit:
        ask_to_leave.take_back(unit, clock.now())
    flash("You stay. Nothing was deleted.", "good")
    return redirect(url_for("erasures.mine"), 303)


@pages.get("/erasures")
@who_may("administrator")
def home() -> str:
    """Who asks, and what was done."""
    with reading() as unit:
        waiting, done = ask_to_leave.waiting(unit), ask_to_leave.done_here(unit)
    return render_template("erasures/home.html", waiting=waiting, done=done, today=clock.today())


@pages.post("/people/<person_id>/erasure")
@who_may("administrator")
def ask_for(person_id: str) -> ResponseReturnValue:
    """Somebody has asked in writing."""
    try:
        with writing() as unit:
            wish = ask_to_leave.ask_for(unit, person_id, clock.now())
    except InputProblem as problem:
        flash(problem.said, "bad")
        return redirect(url_for("people.member", person_id=person_id), 303)
    return redirect(url_for("erasures.one", erasure_id=wish), 303)


@pages.route("/erasures/<erasure_id>", methods=["GET", "POST"])
@who_may("administrator")
def one(erasure_id: str) -> ResponseReturnValue:
    """One of them: what would go, and the day from which on it may be done."""
    entry = DayEntry()

    def decide() -> None:
        with writing() as unit:
            days, why = int(entry.days.data), entry.why.data or ""
            ask_to_leave.set_day(unit, erasure_id, days, why, clock.now())
        flash("The day is set. Until it is done, you and they can call it back.", "good")

    if _done(entry, decide):
        return redirect(url_for("erasures.one", erasure_id=erasure_id), 303)
    return _page(erasure_id, day=entry)


@pages.post("/erasures/<erasure_id>/back")
@who_may("administrator")
def back(erasure_id: str) -> ResponseReturnValue:
    """Call it back."""
    entry = BackEntry()

    def end() -> None:
        with writing() as unit:
            ask_to_leave.call_back(unit, erasure_id, entry.ended_why.data or "", clock.now())
        flash("Called back. They read why on their own page.", "good")

    if _done(entry, end):
        return redirect(url_for("erasures.home"), 303)
    return _page(erasure_id, back=entry)


@pages.post("/erasures/<erasure_id>/now")
@who_may("administrator")
def now(erasure_id: str) -> ResponseReturnValue:
    """Do it, for good. The answer is the last page that names them."""
    entry, found = TypedEntry(), []

    def erase() -> None:
        album, typed = Album(house().settings.evidence), entry.typed.data or ""
        with writing() as unit:
            found.append(erase_person.carry_out(unit, album, erasure_id, typed, clock.now()))

    if _done(entry, erase):
        return render_template("erasures/done.html", done=found[0])
    return _page(erasure_id, typed=entry)


def _done(entry: FlaskForm, deed: Callable[[], None]) -> bool:
    """Whether it was filled in rightly and done; what was wrong stands beside the fields."""
    if not entry.validate_on_submit():
        return False
    try:
        deed()
    except InputProblem as problem:
        tell(entry, problem)
        return False
    return True


def _page(erasure_id: str, **entries: FlaskForm) -> ResponseReturnValue:
    with reading() as unit:
        wish = ask_to_leave.see(unit, erasure_id)
    given = {"day": DayEntry(), "back": BackEntry(), "typed": TypedEntry()} | entries
    page = render_template("erasures/one.html", wish=wish, today=clock.today(), **given)
    return page, 400 if any(one.errors for one in entries.values()) else 200
