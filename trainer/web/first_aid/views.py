"""First aid at the chair: open to everybody, also to strangers and during an assessment."""

from flask import Blueprint, render_template

from trainer.use_cases.read_troubles import first_aid
from trainer.web.access import ANYONE, who_may
from trainer.web.house import house

pages = Blueprint("first_aid", __name__)


@pages.get("/first-aid")
@who_may(ANYONE)
def home() -> str:
    """What to do, each line with what it rests on."""
    return render_template("first_aid/home.html", lines=first_aid(house().bank))
