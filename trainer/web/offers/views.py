"""Places that a house offers somebody: yes or no, signed in or by the link."""

from flask import Blueprint, flash, redirect, render_template, session, url_for
from flask.typing import ResponseReturnValue
from flask_login import current_user

from trainer import clock
from trainer.use_cases import answer_offer
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.web.access import ANYONE, SIGNED_IN, who_may
from trainer.web.house import house, reading, writing
from trainer.web.offers.entries import NewAccountEntry
from trainer.web.visitor import CHOSEN

pages = Blueprint("offers", __name__)


@pages.get("/offers")
@who_may(SIGNED_IN)
def home() -> str:
    """Who asks the visitor to join."""
    with reading() as unit:
        found = answer_offer.mine(unit, clock.now())
    return render_template("offers/home.html", found=found)


@pages.post("/offers/<offer_id>/yes")
@who_may(SIGNED_IN)
def yes(offer_id: str) -> ResponseReturnValue:
    """The visitor belongs there from now on, and looks at it at once."""
    try:
        with writing() as unit:
            session[CHOSEN] = answer_offer.accept(unit, offer_id, clock.now())
    except NotFound:
        return _over()
    flash("You belong here from now on.", "good")
    return redirect(url_for("sign_in.home"), 303)


@pages.post("/offers/<offer_id>/no")
@who_may(SIGNED_IN)
def no(offer_id: str) -> ResponseReturnValue:
    """The visitor does not want to."""
    try:
        with writing() as unit:
            answer_offer.decline(unit, offer_id, clock.now())
    except NotFound:
        return _over()
    flash("You said no. Nothing has changed.", "good")
    return redirect(url_for("offers.home"), 303)


def _over() -> ResponseReturnValue:
    """Pressed twice, withdrawn meanwhile, or somebody else's: none of it is told apart."""
    flash("That is answered or withdrawn already.", "watch")
    return redirect(url_for("offers.home"), 303)


@pages.route("/join/<token>", methods=["GET", "POST"])
@who_may(ANYONE)
def by_link(token: str) -> ResponseReturnValue:
    """What the letter or the link leads to: the same page whether the address has an account."""
    entry = NewAccountEntry()
    try:
        with reading() as unit:
            found = answer_offer.by_link(unit, token, clock.now())
            waits = current_user.is_authenticated and found in answer_offer.mine(unit, clock.now())
    except InputProblem:
        return _link_is_over()
    if waits:
        return redirect(url_for("offers.home"))
    if not current_user.is_authenticated and entry.validate_on_submit():
        try:
            with writing() as unit:
                answer_offer.accept_as_new(
                    unit, house().passwords, token, entry.password.data or "", clock.now()
                )
            flash("You have an account. Sign in with the password that you have chosen.", "good")
            return redirect(url_for("sign_in.sign_in"), 303)
        except InputProblem as problem:
            entry.password.errors = (f"It {problem.what}. {problem.remedy}",)
    code = 400 if entry.errors else 200
    return render_template("offers/by_link.html", entry=entry, one=found, token_of=token), code


@pages.post("/join/<token>/no")
@who_may(ANYONE)
def no_by_link(token: str) -> ResponseReturnValue:
    """No, by whoever holds the link."""
    try:
        with writing() as unit:
            answer_offer.decline_by_link(unit, token, clock.now())
    except InputProblem:
        return _link_is_over()
    return render_template("offers/declined.html")


def _link_is_over() -> ResponseReturnValue:
    """Answered, withdrawn, too old or cut off on its way: none of it is told apart."""
    return render_template("offers/over.html"), 400
