"""How the questions are checked."""

from flask import Blueprint, render_template, request

from trainer.core.scenarios.audit.guidelines import SOURCE
from trainer.use_cases import see_audit
from trainer.use_cases.roles import REVIEWERS
from trainer.web.access import who_may
from trainer.web.house import house

pages = Blueprint("audit", __name__, url_prefix="/methods/audit")


@pages.get("")
@who_may(*REVIEWERS)
def home() -> str:
    """The last audit: a line for each kind of question."""
    bank = house().bank
    method = request.args.get("method", "")
    chosen = method if method in bank.methods else ""
    only = request.args.get("only") == "findings"
    found = see_audit.see(house().settings.instance, bank, chosen, only)
    methods = sorted(bank.methods.values(), key=lambda one: (one.order, one.id))
    return render_template(
        "audit/home.html", found=found, methods=methods, chosen=chosen, only=only
    )


@pages.get("/guidelines")
@who_may(*REVIEWERS)
def guidelines() -> str:
    """The guidelines that the audit keeps, and how."""
    rows = see_audit.guidelines()
    return render_template("audit/guidelines.html", rows=rows, source=SOURCE)
