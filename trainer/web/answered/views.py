"""How answers fall, question by question."""

from flask import Blueprint, render_template, request

from trainer.use_cases import see_answers
from trainer.web.access import who_may
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house, reading

pages = Blueprint("answered", __name__, url_prefix="/methods/answers")
closed_while_sitting(pages)


@pages.get("")
@who_may("instructor", "administrator")
def home() -> str:
    """A card for each kind of question of a method, doubtful ones first."""
    bank = house().bank
    methods = sorted(bank.methods.values(), key=lambda one: (one.order, one.id))
    asked = request.args.get("method", "")
    chosen = asked if asked in bank.methods else methods[0].id
    with reading() as unit:
        found = see_answers.see(unit, bank, chosen)
    return render_template("answered/home.html", found=found, methods=methods, chosen=chosen)
