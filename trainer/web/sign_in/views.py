"""Sign in and out, passwords, the choice of organisation."""

from datetime import timedelta

from flask import Blueprint, flash, redirect, render_template, request, session, url_for
from flask.typing import ResponseReturnValue
from flask_login import current_user, login_user, logout_user

from trainer import clock
from trainer.use_cases import answer_offer, one_use_links, recover_password
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.sign_in import TooManyTries, belongings
from trainer.use_cases.sign_in import sign_in as check
from trainer.use_cases.sit_assessment import under_way
from trainer.web.access import ANYONE, SIGNED_IN, who_may
from trainer.web.house import house, reading, writing
from trainer.web.sign_in.entries import ForgottenEntry, SetPasswordEntry, SignInEntry
from trainer.web.visitor import CHOSEN, Visitor

pages = Blueprint("sign_in", __name__)
FIRST_PAGES = (
    ("apprentice", "practice.home"),
    ("instructor", "cohort.home"),
    ("salon_manager", "team.home"),
    ("administrator", "people.home"),
)


@pages.get("/")
@who_may(ANYONE)
def home() -> ResponseReturnValue:
    """Everybody's way to their own first page; whoever is sitting an assessment goes on with it."""
    if not current_user.is_authenticated:
        return redirect(url_for("sign_in.sign_in"))
    with reading() as unit:
        sitting = under_way(unit)
    if sitting is not None and current_user.viewer.is_a("apprentice"):
        return redirect(url_for("sittings.question", sitting_id=sitting.id))
    for role, page in FIRST_PAGES:
        if current_user.viewer.is_a(role):
            return redirect(url_for(page))
    return redirect(url_for("sign_in.me"))


@pages.route("/sign-in", methods=["GET", "POST"])
@who_may(ANYONE)
def sign_in() -> ResponseReturnValue:
    """Ask for address and password."""
    entry = SignInEntry()
    if entry.validate_on_submit():
        try:
            return _signed_in(entry)
        except InputProblem as problem:
            entry.password.errors = (problem.said,)
            code = 429 if isinstance(problem, TooManyTries) else 400
            return render_template("sign_in/sign_in.html", entry=entry), code
    return render_template("sign_in/sign_in.html", entry=entry), 400 if entry.errors else 200


def _signed_in(entry: SignInEntry) -> ResponseReturnValue:
    here = house()
    place = request.remote_addr or ""
    email, password = entry.email.data or "", entry.password.data or ""
    person = check(here.work, here.passwords, email, password, place, clock.now())
    with reading() as unit:
        places = belongings(unit, person.person_id)
    session.clear()
    session.permanent = True
    login_user(Visitor(person, places, None))
    return redirect(_safe(request.args.get("next")) or url_for("sign_in.home"))


def _safe(address: str | None) -> str | None:
    """An address of our own, or None: nobody is sent elsewhere.

    Browsers read '/\\' as '//', and pass over tabs and line ends.
    """
    given = address or ""
    own = given.startswith("/") and not given.startswith(("//", "/\\"))
    return given if own and given.isprintable() else None


@pages.post("/sign-out")
@who_may(SIGNED_IN)
def sign_out() -> ResponseReturnValue:
    """End the visit."""
    logout_user()
    session.clear()
    flash("You have signed out.", "good")
    return redirect(url_for("sign_in.sign_in"))


@pages.get("/me")
@who_may(SIGNED_IN)
def me() -> str:
    """Who is signed in, where they belong, and who asks them to join."""
    with reading() as unit:
        offers = answer_offer.mine(unit, clock.now())
    return render_template("sign_in/me.html", offers=offers)


@pages.post("/me/organisation")
@who_may(SIGNED_IN)
def choose() -> ResponseReturnValue:
    """Look for another organisation that one belongs to."""
    wanted = request.form.get("organisation", "")
    if wanted in [place.organisation_id for place in current_user.places]:
        session[CHOSEN] = wanted
    return redirect(url_for("sign_in.home"))


@pages.get("/help")
@who_may(ANYONE)
def help() -> str:
    """Where to turn."""
    return render_template("sign_in/help.html")


@pages.route("/forgotten", methods=["GET", "POST"])
@who_may(ANYONE)
def forgotten() -> ResponseReturnValue:
    """Send a link by mail, where mail is set."""
    entry, settings = ForgottenEntry(), house().settings
    if entry.validate_on_submit() and settings.sends_letters:
        recover_password.ask_by_mail(
            house().work,
            settings.letters,
            entry.email.data or "",
            timedelta(hours=settings.recovery_hours),
            clock.now(),
        )
        flash("If we know that address, a link is on its way to it.", "good")
        return redirect(url_for("sign_in.sign_in"))
    return render_template("sign_in/forgotten.html", entry=entry, mail=settings.sends_letters)


@pages.route("/set-password/<token>", methods=["GET", "POST"])
@who_may(ANYONE)
def set_password(token: str) -> ResponseReturnValue:
    """Set a password through a one-use link."""
    entry = SetPasswordEntry()
    with reading() as unit:
        name = one_use_links.holder(unit, token, clock.now()).name
    if entry.validate_on_submit():
        try:
            with writing() as unit:
                one_use_links.set_password(
                    unit, house().passwords, token, entry.password.data or "", clock.now()
                )
            flash("Your password is set. Sign in with it.", "good")
            return redirect(url_for("sign_in.sign_in"))
        except InputProblem as problem:
            entry.password.errors = (f"It {problem.what}. {problem.remedy}",)
    code = 400 if entry.errors else 200
    return render_template("sign_in/set_password.html", entry=entry, name=name), code
