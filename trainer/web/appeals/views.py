"""Appeals and complaints: mine, those that wait, one of them."""

from collections.abc import Sequence
from secrets import token_hex

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from wtforms.fields.choices import SelectChoice

from trainer import clock
from trainer.use_cases import appeal, remedy_appeal
from trainer.use_cases.appeal import Said
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.remedy_appeal import Remedy
from trainer.use_cases.roles import DECIDERS
from trainer.web.access import SIGNED_IN, who_may
from trainer.web.appeals.entries import ABOUT_WORDS, AnswerEntry, SendEntry
from trainer.web.appeals.remedies import DONE_WORDS, remedy_words
from trainer.web.house import house, prove, reading, viewer, writing
from trainer.web.records.issuing import issuing
from trainer.web.telling import tell

pages = Blueprint("appeals", __name__, url_prefix="/appeals")


@pages.get("")
@who_may(SIGNED_IN)
def home() -> str:
    """What I sent; for those who decide, what waits and what was answered."""
    decides = viewer().is_a(*DECIDERS)
    with reading() as unit:
        mine = appeal.mine(unit)
        waiting = appeal.waiting(unit) if decides else []
        answered = appeal.answered(unit) if decides else []
    return render_template(
        "appeals/home.html",
        mine=mine,
        waiting=waiting,
        answered=answered,
        decides=decides,
        today=clock.today(),
        about_words=ABOUT_WORDS,
    )


@pages.route("/new", methods=["GET", "POST"])
@who_may(SIGNED_IN)
def new() -> ResponseReturnValue:
    """Send one."""
    entry = SendEntry()
    bank, days = house().bank, house().settings.appeal_days
    with reading() as unit:
        entry.concerns.choices = list(appeal.staff(unit).items())
    methods = [(one.id, one.name) for one in bank.methods.values()]
    entry.method.choices = [("", "None, or all of them"), *methods]
    if request.method == "GET":
        entry.submission_id.data = token_hex()
        entry.method.data = request.args.get("method", "")
        entry.about.data = request.args.get("about")
    elif entry.validate():
        try:
            return _sent(entry, days)
        except InputProblem as problem:
            tell(entry, problem, entry.words)
    page = render_template("appeals/new.html", entry=entry, days=days)
    return page, 400 if entry.errors else 200


def _sent(entry: SendEntry, days: int) -> ResponseReturnValue:
    said = Said(
        entry.submission_id.data or "",
        entry.about.data or "",
        entry.method.data or "",
        entry.words.data or "",
        tuple(entry.concerns.data or ()),
    )
    with writing() as unit:
        appeal_id = appeal.send(unit, house().bank, said, days, clock.now())
    flash("Sent. You can follow it here.", "good")
    return redirect(url_for("appeals.one", appeal_id=appeal_id), 303)


@pages.route("/<appeal_id>", methods=["GET", "POST"])
@who_may(SIGNED_IN)
def one(appeal_id: str) -> ResponseReturnValue:
    """One of them, where it stands, and my answer to it if I may."""
    days, now = house().settings.retake_days, clock.now()
    with reading() as unit:
        found = appeal.see(unit, appeal_id)
        may = viewer().is_a(*DECIDERS) and not found.refused and found.answered_at is None
        offered = remedy_appeal.remedies(unit, appeal_id, days, now) if may else ()
    entry = AnswerEntry()
    entry.remedy.choices = [SelectChoice(one.id, remedy_words(one)) for one in offered]
    if len(offered) == 1:
        entry.remedy.data = offered[0].id
    if entry.validate_on_submit():
        try:
            _answer(appeal_id, entry, offered)
            flash(f"Answered. {found.name} sees it now.", "good")
            return redirect(url_for("appeals.home"), 303)
        except InputProblem as problem:
            tell(entry, problem, entry.words)
    page = render_template(
        "appeals/one.html",
        found=found,
        entry=entry,
        decides=viewer().is_a(*DECIDERS),
        about_words=ABOUT_WORDS,
        done_words=DONE_WORDS,
        offered=offered,
        today=clock.today(),
    )
    return page, 400 if entry.errors else 200


def _answer(appeal_id: str, entry: AnswerEntry, offered: Sequence[Remedy]) -> None:
    """What was done stands, or what follows is done with the answer."""
    here, now, words = house(), clock.now(), entry.words.data or ""
    if entry.upheld.data != "yes":
        with writing() as unit:
            appeal.answer(unit, appeal_id, False, words, now)
        return
    wanted = entry.remedy.data or ""
    if any(one.id == wanted and one.kind == remedy_appeal.REINSTATE for one in offered):
        prove(entry.password.data)
    with writing() as unit:
        days = here.settings.retake_days
        remedy_appeal.uphold(unit, here.bank, appeal_id, words, wanted, days, issuing(), now)


@pages.post("/<appeal_id>/take-up")
@who_may(*DECIDERS)
def take_up(appeal_id: str) -> ResponseReturnValue:
    """Say that I look into it."""
    with writing() as unit:
        appeal.take_up(unit, appeal_id, clock.now())
    flash("You look into this one.", "good")
    return redirect(url_for("appeals.one", appeal_id=appeal_id), 303)
