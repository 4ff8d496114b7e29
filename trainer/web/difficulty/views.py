"""How hard the questions proved to be."""

from flask import Blueprint, render_template, request

from trainer.use_cases import see_difficulty
from trainer.use_cases.pick_method import pick_method
from trainer.use_cases.roles import REVIEWERS
from trainer.web.access import who_may
from trainer.web.house import house, reading

pages = Blueprint("difficulty", __name__, url_prefix="/methods/difficulty")


@pages.get("")
@who_may(*REVIEWERS)
def home() -> str:
    """A line for each kind of question of a method, the hardest first."""
    bank = house().bank
    with reading() as unit:
        methods, chosen = pick_method(unit, bank, request.args.get("method", ""))
        found = see_difficulty.see(unit, bank, chosen)
        waiting = see_difficulty.waiting(unit)
    return render_template(
        "difficulty/home.html", found=found, waiting=waiting, methods=methods, chosen=chosen
    )
