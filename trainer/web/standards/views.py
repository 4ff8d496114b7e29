"""Standards: the list, a panel, one question to rate, what came of it, history."""

from flask import Blueprint, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import see_standard, set_standard
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import REVIEWERS
from trainer.web.access import who_may
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house, reading, writing
from trainer.web.standards.drawing import drawn
from trainer.web.standards.entries import RatingEntry

pages = Blueprint("standards", __name__, url_prefix="/standards")
closed_while_sitting(pages)


@pages.get("")
@who_may(*REVIEWERS)
def home() -> str:
    """Every method: the cut that holds, and the panel at work."""
    with reading() as unit:
        lines = see_standard.overview(unit, house().bank)
    return render_template("standards/home.html", lines=lines)


@pages.post("/<method>/panel")
@who_may("instructor")
def open_panel(method: str) -> ResponseReturnValue:
    """Open a panel, or go to the one under way."""
    bank = house().bank
    prepared = set_standard.prepare(bank, method)
    with writing() as unit:
        panel_id = set_standard.open_panel(unit, bank, prepared, clock.now())
    return redirect(url_for("standards.panel", panel_id=panel_id), 303)


@pages.get("/<method>/history")
@who_may(*REVIEWERS)
def history(method: str) -> str:
    """The standards that a method has had."""
    with reading() as unit:
        rows = see_standard.history(unit, house().bank, method)
    return render_template("standards/history.html", method=method, rows=rows)


@pages.get("/panels/<panel_id>")
@who_may(*REVIEWERS)
def panel(panel_id: str) -> ResponseReturnValue:
    """A panel at work, or what came of it."""
    return _panel(panel_id, "")


@pages.get("/panels/<panel_id>/questions/<int:position>")
@who_may("instructor")
def question(panel_id: str, position: int) -> str:
    """One question to rate."""
    return _question(panel_id, position, None)


@pages.post("/panels/<panel_id>/questions/<int:position>")
@who_may("instructor")
def rate(panel_id: str, position: int) -> ResponseReturnValue:
    """Keep a rating; then the next question without one, or the panel."""
    entry = RatingEntry()
    if not entry.validate():
        return _question(panel_id, position, entry), 400
    with writing() as unit:
        set_standard.rate(unit, panel_id, position, int(entry.of_ten.data), clock.now())
    with reading() as unit:
        after = see_standard.ask(unit, panel_id, position).next
    if after is None:
        flash("All rated. You can still change a rating until the round ends.", "good")
        return redirect(url_for("standards.panel", panel_id=panel_id), 303)
    return redirect(url_for("standards.question", panel_id=panel_id, position=after), 303)


@pages.post("/panels/<panel_id>/end-round")
@who_may("instructor")
def end_round(panel_id: str) -> ResponseReturnValue:
    """End the present round."""
    try:
        with writing() as unit:
            set_standard.end_round(unit, panel_id, clock.now())
    except InputProblem as problem:
        return _panel(panel_id, problem.said), 409
    return redirect(url_for("standards.panel", panel_id=panel_id), 303)


@pages.post("/panels/<panel_id>/propose")
@who_may("instructor")
def propose(panel_id: str) -> ResponseReturnValue:
    """Propose the panel's cut."""
    return _settle(panel_id, "propose", "Proposed. An administrator can adopt it now.")


@pages.post("/panels/<panel_id>/adopt")
@who_may("administrator")
def adopt(panel_id: str) -> ResponseReturnValue:
    """Adopt the proposed cut."""
    return _settle(panel_id, "adopt", "Adopted. It holds for assessments begun from now on.")


@pages.post("/panels/<panel_id>/drop")
@who_may(*REVIEWERS)
def drop(panel_id: str) -> ResponseReturnValue:
    """Give a panel up."""
    with writing() as unit:
        set_standard.drop(unit, panel_id, clock.now())
    flash("This panel is given up. What was rated stays kept.", "good")
    return redirect(url_for("standards.home"), 303)


def _settle(panel_id: str, what: str, said: str) -> ResponseReturnValue:
    act = {"propose": set_standard.propose, "adopt": set_standard.adopt}[what]
    try:
        with writing() as unit:
            act(unit, house().bank, panel_id, clock.now())
    except InputProblem as problem:
        return _panel(panel_id, problem.said), 409
    flash(said, "good")
    return redirect(url_for("standards.panel", panel_id=panel_id), 303)


def _panel(panel_id: str, problem: str) -> str:
    with reading() as unit:
        found = see_standard.see_panel(unit, panel_id)
        if not found.round and found.enough:
            result = see_standard.result(unit, house().bank, panel_id)
            return render_template(
                "standards/result.html",
                found=result,
                panel=found,
                bars=drawn(result.steps, result.place),
                problem=problem,
            )
        first = see_standard.first_open(unit, panel_id)
    return render_template("standards/panel.html", panel=found, first=first, problem=problem)


def _question(panel_id: str, position: int, entry: RatingEntry | None) -> str:
    with reading() as unit:
        asked = see_standard.ask(unit, panel_id, position)
    if entry is None:
        said = asked.before if asked.said is None else asked.said
        entry = RatingEntry(of_ten=None if said is None else str(said))
    return render_template("standards/question.html", asked=asked, entry=entry)
