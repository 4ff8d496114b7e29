"""Changed facts: what they were and are, whom it concerns, the offer; and one's own top-ups."""

from datetime import timedelta

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.problems import InputProblem
from trainer.use_cases import offer_top_up, see_changes, take_top_up
from trainer.use_cases.offer_top_up import LONGEST, SHORTEST, USUAL, USUAL_DAYS, Wish
from trainer.use_cases.roles import ASKERS, EVERYBODY, SETTERS
from trainer.use_cases.see_changes import Seen
from trainer.web.access import who_may
from trainer.web.changes.entries import TopUpEntry
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house, reading, viewer, writing
from trainer.web.telling import tell

pages = Blueprint("changes", __name__)
closed_while_sitting(pages)


@pages.get("/changes")
@who_may(*ASKERS)
def home() -> str:
    """Every safety fact that has changed, newest first."""
    with reading() as unit:
        listed, after = see_changes.page(unit, request.args.get("before", ""), clock.now())
    return render_template("changes/home.html", listed=listed, after=after)


@pages.get("/changes/<change_id>")
@who_may(*ASKERS)
def change(change_id: str) -> str:
    """One change: old and new words, what leans on it, who holds records from before."""
    seen = _seen(change_id)
    entry = TopUpEntry()
    asked = seen.top_up
    entry.length.data = asked.length if asked else USUAL
    entry.due_on.data = asked.due_on if asked else clock.today() + timedelta(days=USUAL_DAYS)
    entry.required.data = asked.required if asked else False
    return _page(seen, entry)


@pages.post("/changes/<change_id>/top-up")
@who_may(*ASKERS)
def offer(change_id: str) -> ResponseReturnValue:
    """Offer the holders a top-up, or change what was offered."""
    entry, seen = TopUpEntry(), _seen(change_id)
    if not viewer().is_a(*SETTERS):  # what they may not settle stays as it is
        entry.required.data = bool(seen.top_up and seen.top_up.required)
    if entry.validate() and _offered(change_id, entry):
        flash("It is on their pages now.", "good")
        return redirect(url_for("changes.change", change_id=change_id), 303)
    return _page(seen, entry), 400


@pages.get("/top-ups")
@who_may(*EVERYBODY)
def mine() -> str:
    """What I am asked anew, since a fact has changed."""
    with reading() as unit:
        asked = take_top_up.mine(unit, house().bank, clock.now())
    return render_template("changes/mine.html", asked=asked, today=clock.today())


@pages.get("/top-ups/<change_id>")
@who_may(*EVERYBODY)
def top_up(change_id: str) -> str:
    """The short read, then the questions."""
    with reading() as unit:
        asked = take_top_up.one(unit, house().bank, change_id, clock.now())
    return render_template("changes/top_up.html", asked=asked, today=clock.today())


@pages.post("/top-ups/<change_id>")
@who_may(*EVERYBODY)
def next_question(change_id: str) -> ResponseReturnValue:
    """Show the next question of a top-up."""
    bank, now = house().bank, clock.now()
    with reading() as unit:
        planned = take_top_up.plan_next(unit, bank, change_id, now)
    if planned is None:
        return redirect(url_for("changes.top_up", change_id=change_id), 303)
    try:
        made = take_top_up.make(bank, planned)
    except InputProblem as problem:
        flash(problem.said, "watch")
        return redirect(url_for("changes.top_up", change_id=change_id), 303)
    with writing() as unit:
        item_id = take_top_up.show_next(unit, bank, planned, made, now)
    return redirect(url_for("practice.item", item_id=item_id), 303)


def _seen(change_id: str) -> Seen:
    name, person_id = request.args.get("name"), request.args.get("id")
    after = (name, person_id) if name is not None and person_id is not None else None
    with reading() as unit:
        return see_changes.one(unit, house().bank, change_id, after, clock.now())


def _page(seen: Seen, entry: TopUpEntry) -> str:
    return render_template(
        "changes/change.html",
        seen=seen,
        entry=entry,
        shortest=SHORTEST,
        longest=LONGEST,
        may_require=viewer().is_a(*SETTERS),
    )


def _offered(change_id: str, entry: TopUpEntry) -> bool:
    wish = Wish(entry.length.data or 0, entry.due_on.data, bool(entry.required.data))
    try:
        with writing() as unit:
            offer_top_up.offer(unit, change_id, wish, clock.now())
    except InputProblem as problem:
        tell(entry, problem)
        return False
    return True
