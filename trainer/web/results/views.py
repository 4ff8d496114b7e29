"""Results as a file for a spreadsheet or another program."""

from flask import Blueprint, Response, render_template
from flask.typing import ResponseReturnValue
from wtforms.fields.choices import SelectChoice

from trainer import clock
from trainer.core.exchange.csv_cells import for_spreadsheets
from trainer.use_cases.give_results import Wanted, give
from trainer.use_cases.keep_people import list_groups
from trainer.use_cases.roles import REVIEWERS
from trainer.web.access import who_may
from trainer.web.house import house, reading, writing
from trainer.web.results.entries import TOPICS, ResultsEntry

pages = Blueprint("results", __name__, url_prefix="/results")
CSV = "text/csv; charset=utf-8"


@pages.route("", methods=["GET", "POST"])
@who_may(*REVIEWERS)
def home() -> ResponseReturnValue:
    """Choose whose results; the answer is the file."""
    entry = ResultsEntry()
    with reading() as unit:
        groups = list_groups(unit)
    methods = [(method, one.name) for method, one in house().bank.methods.items()]
    entry.group.choices = [SelectChoice("", "Everybody"), *(SelectChoice(*g) for g in groups)]
    entry.method.choices = [SelectChoice("", "Every method"), *(SelectChoice(*m) for m in methods)]
    if not entry.validate_on_submit():
        return render_template("results/home.html", entry=entry), 400 if entry.errors else 200
    wanted = Wanted(entry.method.data or "", entry.group.data or "", entry.lines.data == TOPICS)
    now = clock.now()
    with writing() as unit:
        content = give(unit, house().bank, wanted, now)
    answer = Response(for_spreadsheets(content), content_type=CSV)
    answer.headers["Content-Disposition"] = f'attachment; filename="results-{now:%Y-%m-%d}.csv"'
    answer.headers["Cache-Control"] = "no-store"
    return answer
