"""How I stand: every method and topic against the standard, in words."""

from flask import Blueprint, render_template

from trainer.use_cases import see_competency
from trainer.web.access import who_may
from trainer.web.house import house, reading, viewer

pages = Blueprint("competency", __name__)


@pages.get("/competency")
@who_may("apprentice")
def home() -> str:
    """How I stand with each method and topic."""
    with reading() as unit:
        standings = see_competency.standings(unit, house().bank, viewer().person_id)
    return render_template("competency/home.html", standings=standings)
