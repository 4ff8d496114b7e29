"""How answers fall, question by question, and whether two groups are treated alike."""

from flask import Blueprint, render_template, request

from trainer.core.measurement.analysis.matched import LEAST_PEOPLE
from trainer.use_cases import compare_groups, see_answers
from trainer.use_cases.pick_method import pick_method
from trainer.use_cases.roles import REVIEWERS
from trainer.web.access import who_may
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house, reading

pages = Blueprint("answered", __name__, url_prefix="/methods/answers")
closed_while_sitting(pages)


@pages.get("")
@who_may(*REVIEWERS)
def home() -> str:
    """A card for each kind of question of a method, doubtful ones first."""
    with reading() as unit:
        methods, chosen = pick_method(unit, house().bank, request.args.get("method", ""))
        found = see_answers.see(unit, house().bank, chosen)
    return render_template(
        "answered/home.html",
        found=found,
        enough=see_answers.ENOUGH,
        methods=methods,
        chosen=chosen,
    )


@pages.get("/groups")
@who_may(*REVIEWERS)
def groups() -> str:
    """A line for each kind of question: does it treat two groups alike?"""
    with reading() as unit:
        methods, chosen = pick_method(unit, house().bank, request.args.get("method", ""))
        found = compare_groups.see(unit, house().bank, chosen, request.args.get("groups", ""))
    return render_template(
        "answered/groups.html",
        found=found,
        marks=compare_groups.marks(),
        least=LEAST_PEOPLE,
        methods=methods,
        chosen=chosen,
    )
