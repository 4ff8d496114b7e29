"""How answers fall, question by question, and whether two groups are treated alike."""

from flask import Blueprint, render_template, request

from trainer.core.knowledge.method import Method
from trainer.core.measurement.analysis.matched import LEAST_PEOPLE
from trainer.use_cases import compare_groups, see_answers
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
    methods, chosen = _methods()
    with reading() as unit:
        found = see_answers.see(unit, house().bank, chosen)
    return render_template("answered/home.html", found=found, methods=methods, chosen=chosen)


@pages.get("/groups")
@who_may(*REVIEWERS)
def groups() -> str:
    """A line for each kind of question: does it treat two groups alike?"""
    methods, chosen = _methods()
    with reading() as unit:
        found = compare_groups.see(unit, house().bank, chosen, request.args.get("groups", ""))
    return render_template(
        "answered/groups.html",
        found=found,
        marks=compare_groups.marks(),
        least=LEAST_PEOPLE,
        methods=methods,
        chosen=chosen,
    )


def _methods() -> tuple[list[Method], str]:
    """Every method in order, and the id of the one that was asked for, else of the first."""
    bank = house().bank
    methods = sorted(bank.methods.values(), key=lambda one: (one.order, one.id))
    asked = request.args.get("method", "")
    return methods, asked if asked in bank.methods else methods[0].id
