"""The team as picture and table, its gaps, its working days, and all of it as a file."""

from calendar import day_name
from datetime import timedelta
from typing import Any

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from markupsafe import Markup

from trainer import clock
from trainer.core.exchange.csv_cells import for_spreadsheets
from trainer.use_cases import keep_working_days, see_house, see_team
from trainer.use_cases.keep_working_days import days_of
from trainer.use_cases.roles import ASKERS, SETTERS
from trainer.use_cases.see_house import House
from trainer.use_cases.see_team import TeamPage, Wanted
from trainer.use_cases.work import Unit
from trainer.web.access import who_may
from trainer.web.house import house, reading, today_here, viewer, writing
from trainer.web.team.entries import FilterEntry, drawn
from trainer.web.team.heat import heat_boxes
from trainer.web.team.table import table_lines
from trainer.web.team.time_line import time_line
from trainer.web.words import SERVICE_WORDS

pages = Blueprint("team", __name__)
CSV = "text/csv; charset=utf-8"
SHOWN_GAPS = 3


@pages.get("/team")
@who_may(*ASKERS)
def home() -> str:
    """The whole house in short, then its people a page at a time."""
    entry, wanted = _filters()
    days = house().settings.grace_days
    as_table = request.args.get("view") == "table"
    with reading() as unit:
        whole, worth_keeping = _house(unit)
        found = see_team.page(unit, house().bank, wanted, _after(), days, every_method=not as_table)
    if worth_keeping:
        _keep(whole)
    asked = {name: value for name, value in request.args.items() if name not in ("name", "id")}
    return render_template(
        "team/home.html",
        entry=entry,
        house=whole,
        gaps=[gap for gap in whole.gaps if gap.fitted][:SHOWN_GAPS],
        line=time_line(whole.ends, wanted.today),
        page=found,
        lines=_table(found, wanted) if as_table else None,
        methods=list(house().bank.methods.values()),
        asked=asked,
        filtered=any(asked.get(name) for name in ("q", "method", "service", "word", "ends")),
        day_names=day_name,
        heat_boxes=heat_boxes,
        drawn=drawn,
    )


@pages.get("/team/gaps")
@who_may(*ASKERS)
def gaps() -> str:
    """What nobody can do, on which days, and who is nearest to it."""
    days = house().settings.grace_days
    with reading() as unit:
        whole, worth_keeping = _house(unit)
        near = see_house.closing(unit, house().bank, whole.gaps, days, today_here())
    if worth_keeping:
        _keep(whole)
    return render_template("team/gaps.html", house=whole, near=near, day_names=day_name)


@pages.get("/team.csv")
@who_may(*ASKERS)
def file() -> Response:
    """Everybody wanted, as a file for a spreadsheet."""
    _, wanted = _filters()
    with reading() as unit:
        content = see_team.as_csv(unit, house().bank, wanted, house().settings.grace_days)
    answer = Response(for_spreadsheets(content), content_type=CSV)
    answer.headers["Content-Disposition"] = f'attachment; filename="team-{wanted.today}.csv"'
    return answer


@pages.route("/team/days", methods=["GET", "POST"])
@who_may(*ASKERS)
def working_days() -> ResponseReturnValue:
    """Who works on which day of the week: ticks."""
    wanted = Wanted(today_here(), letters=request.args.get("q", "").strip()[:60])
    if request.method == "POST":
        people = request.form.getlist("person")
        ticks = {one: request.form.getlist(f"days-{one}", type=int) for one in people}
        with writing() as unit:
            keep_working_days.set_days(unit, ticks)
        flash("The days are saved.", "good")
        return redirect(request.full_path.rstrip("?"), 303)
    with reading() as unit:
        found = see_team.page(unit, house().bank, wanted, _after(), house().settings.grace_days)
    return render_template(
        "team/days.html",
        page=found,
        letters=wanted.letters,
        day_names=day_name,
        days_of=days_of,
        may_set=viewer().is_a(*SETTERS),
    )


def _filters() -> tuple[FilterEntry, Wanted]:
    entry = FilterEntry(request.args)
    entry.method.choices = [("", "any"), *((m.id, m.name) for m in house().bank.methods.values())]
    entry.service.choices = [("", "any"), *SERVICE_WORDS.items()]
    entry.view.data = entry.view.data or "map"
    entry.validate()
    given: dict[str, Any] = {
        name: "" if entry[name].errors else (entry[name].data or "").strip()
        for name in ("q", "method", "service", "word", "ends")
    }
    ends = today_here() + timedelta(days=int(given["ends"])) if given["ends"] else None
    wanted = Wanted(
        today_here(), given["q"], given["method"], given["service"], given["word"], ends
    )
    return entry, wanted


def _table(found: TeamPage, wanted: Wanted) -> Markup:
    names = {one.id: one.name for one in house().bank.methods.values()}
    return table_lines(see_team.rows(found.lines, wanted), names, wanted.today)


def _after() -> tuple[str, str] | None:
    name, person_id = request.args.get("name"), request.args.get("id")
    return (name, person_id) if name and person_id else None


def _house(unit: Unit) -> tuple[House, bool]:
    days = house().settings.grace_days
    return see_house.see_house(unit, house().bank, days, clock.now(), today_here())


def _keep(whole: House) -> None:
    with writing() as unit:
        see_house.keep_house(unit, whole)


@pages.app_template_global()
def same_page(asked: dict[str, str], page: str = "team.home", **more: str) -> str:
    """The address of a page with the filters that hold now."""
    said: dict[str, Any] = asked | more
    return url_for(page, **said)
