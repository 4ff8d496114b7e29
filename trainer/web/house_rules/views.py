"""Read and set the house rules, and see what was set before."""

from dataclasses import fields

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.problems import InputProblem
from trainer.core.records.house_rules import HouseRules
from trainer.use_cases import keep_house_rules
from trainer.use_cases.roles import ASKERS, SETTERS
from trainer.web.access import who_may
from trainer.web.house import house, reading, viewer, writing
from trainer.web.house_rules.entries import RulesEntry
from trainer.web.telling import tell

pages = Blueprint("house_rules", __name__, url_prefix="/house-rules")
ALL = "all methods"
RULES = [one.name for one in fields(HouseRules)]


@pages.route("", methods=["GET", "POST"])
@who_may(*ASKERS)
def home() -> ResponseReturnValue:
    """What the house asks beyond a record; its manager sets it."""
    entry = RulesEntry()
    entry.method.choices = [("", ALL), *((m.id, m.name) for m in house().bank.methods.values())]
    if entry.is_submitted() and _set(entry):
        flash("The house rules are set. The desk answers by them from now on.", "good")
        return redirect(url_for("house_rules.home"), 303)
    site = _site()
    with reading() as unit:
        now = keep_house_rules.set_here(unit, site)
        before = keep_house_rules.history(unit, site)
    if not entry.is_submitted():
        _start_from(entry, {one.method: one.rules for one in now}, site)
    page = render_template(
        "house_rules/home.html",
        entry=entry,
        now=now,
        before=before,
        site=site,
        may_set=viewer().is_a(*SETTERS),
    )
    return page, 400 if entry.errors else 200


def _site() -> HouseRules:
    """What the site asks of every house."""
    settings = house().settings
    return HouseRules(settings.grace_days, status_days=settings.status_days)


def _set(entry: RulesEntry) -> bool:
    if not entry.validate():
        return False
    try:
        rules = HouseRules(
            entry.grace_days.data or 0,
            bool(entry.second_observation.data),
            entry.refresh_months.data or 0,
            entry.supervised_clients.data or 0,
            entry.status_days.data or 0,
        )
        with writing() as unit:
            method = entry.method.data or ""
            keep_house_rules.set_rules(unit, house().bank, method, rules, _site(), clock.now())
    except InputProblem as problem:
        tell(entry, problem)
        return False
    except ValueError:
        for days in (entry.grace_days, entry.status_days):
            if (days.data or 0) < 0:
                days.errors = ("Give 0 or more days.",)
        return False
    return True


def _start_from(entry: RulesEntry, known: dict[str, HouseRules], usual: HouseRules) -> None:
    """Fill the form with what holds for the method asked about."""
    chosen = request.args.get("method", "")
    rules = known.get(chosen, usual)
    entry.method.data = chosen
    for name in RULES:
        entry[name].data = getattr(rules, name)
