"""Modules: list, build and assign, progress, another due day, close."""

from datetime import timedelta

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import assign_module
from trainer.use_cases.choose_practice import topics_there
from trainer.use_cases.refusals import InputProblem
from trainer.web.access import who_may
from trainer.web.asking import new_submission
from trainer.web.house import house, reading, writing
from trainer.web.modules.entries import LEVEL_WORDS, DueEntry, ModuleEntry
from trainer.web.telling import tell
from trainer.web.words import TOPIC_WORDS, method_name

pages = Blueprint("modules", __name__, url_prefix="/modules")
USUAL_LENGTH, USUAL_DAYS = 20, 7


@pages.get("")
@who_may("instructor")
def home() -> str:
    """The open modules, the most pressing first."""
    with reading() as unit:
        found = assign_module.list_open(unit, clock.now())
    return render_template("modules/home.html", modules=found)


@pages.get("/closed")
@who_may("instructor")
def closed() -> str:
    """Modules that were closed, latest first."""
    with reading() as unit:
        before = request.args.get("before", "")
        found, after = assign_module.list_closed(unit, before, clock.now())
    return render_template("modules/closed.html", modules=found, after=after)


@pages.route("/new", methods=["GET", "POST"])
@who_may("instructor")
def new() -> ResponseReturnValue:
    """Build a module and assign it, on one page."""
    entry = _entry()
    if request.method == "GET":
        _suggest(entry)
    elif entry.validate():
        try:
            return _created(entry)
        except InputProblem as problem:
            tell(entry, problem)
    code = 400 if entry.errors else 200
    return render_template("modules/new.html", entry=entry), code


@pages.get("/<module_id>")
@who_may("instructor")
def module(module_id: str) -> str:
    """One module: who is how far."""
    return _page(module_id, None)


@pages.post("/<module_id>/due")
@who_may("instructor")
def due(module_id: str) -> ResponseReturnValue:
    """Move the due day."""
    entry = DueEntry()
    if entry.validate_on_submit() and entry.due_on.data:
        try:
            with writing() as unit:
                assign_module.change_due(unit, module_id, entry.due_on.data, clock.now())
            flash("The due day is changed.", "good")
            return redirect(url_for("modules.module", module_id=module_id), 303)
        except InputProblem as problem:
            tell(entry, problem)
    return _page(module_id, entry), 400


@pages.post("/<module_id>/close")
@who_may("instructor")
def close(module_id: str) -> ResponseReturnValue:
    """Close a module."""
    with writing() as unit:
        assign_module.close(unit, module_id, clock.now())
    flash("The module is closed. What was done stays.", "good")
    return redirect(url_for("modules.home"), 303)


def _page(module_id: str, entry: DueEntry | None) -> str:
    with reading() as unit:
        found = assign_module.see(unit, module_id, clock.now())
    entry = entry or DueEntry(due_on=found.due_on)
    levels = dict(LEVEL_WORDS)
    return render_template("modules/module.html", module=found, entry=entry, levels=levels)


def _entry() -> ModuleEntry:
    entry = ModuleEntry()
    there = topics_there(house().bank)
    entry.methods.choices = [(one, method_name(one)) for one, topics in there.items() if topics]
    known = {topic for topics in there.values() for topic in topics}
    entry.topics.choices = [(one, words) for one, words in TOPIC_WORDS.items() if one in known]
    with reading() as unit:
        entry.groups.choices, entry.people.choices = assign_module.choices(unit)
    return entry


def _suggest(entry: ModuleEntry) -> None:
    """Fill in what the address names, and what is usual."""
    entry.methods.data = request.args.getlist("method")
    entry.topics.data = request.args.getlist("topic")
    entry.groups.data = request.args.getlist("group")
    entry.people.data = request.args.getlist("person")
    entry.length.data = USUAL_LENGTH
    entry.due_on.data = clock.today() + timedelta(days=USUAL_DAYS)
    entry.submission_id.data = new_submission()


def _created(entry: ModuleEntry) -> ResponseReturnValue:
    methods, topics = entry.methods.data or [], entry.topics.data or []
    names = (
        ", ".join(method_name(one) for one in methods),
        ", ".join(TOPIC_WORDS[one].lower() for one in topics),
    )
    if entry.length.data is None or entry.due_on.data is None:
        raise InputProblem("Write a number and a day", "length", "Then send it again.")
    wish = assign_module.Wish(
        entry.title.data or "",
        methods,
        topics,
        entry.length.data,
        entry.due_on.data,
        entry.level.data or "",
        entry.groups.data or [],
        entry.people.data or [],
        entry.submission_id.data or "",
        bool(entry.before_assessment.data),
    )
    with writing() as unit:
        module_id, _ = assign_module.create(unit, house().bank, wish, names, clock.now())
    flash("Assigned. It is on their practice page now.", "good")
    return redirect(url_for("modules.module", module_id=module_id), 303)
