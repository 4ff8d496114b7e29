"""The front desk: two letters, a tap, the answer; and work done under supervision, counted."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.knowledge.bank import Bank
from trainer.core.problems import InputProblem
from trainer.use_cases import clear_for_service, count_supervised, name_team
from trainer.use_cases.clear_for_service import Answered, Ask
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.work import Unit
from trainer.web.access import who_may
from trainer.web.asking import new_submission
from trainer.web.clearance.entries import DayEntry, DoneEntry, QuestionEntry
from trainer.web.house import house, reading, today_here, writing
from trainer.web.words import ANSWER_WORDS, SERVICE_WORDS

pages = Blueprint("clearance", __name__)


@pages.get("/clearance")
@who_may(*ASKERS)
def ask() -> ResponseReturnValue:
    """Who; then everything they may do that day; then one answer in full."""
    if not request.args.get("person"):
        return _whom()
    if "method" not in request.args:
        return _everything()
    return _answer()


@pages.post("/clearance/supervised")
@who_may(*ASKERS)
def note() -> ResponseReturnValue:
    """Done, supervised by somebody: one client more."""
    entry = DoneEntry()
    asked = _ask_of(entry)
    with reading() as unit:
        entry.supervisor.choices = list(clear_for_service.who_is_cleared(unit, *_here(asked)))
    if not entry.validate_on_submit():
        flash("Choose who stood beside them. Nothing was counted.", "bad")
        return redirect(_back(asked), 303)
    try:
        with writing() as unit:
            count_supervised.note(
                unit,
                house().bank,
                asked,
                entry.supervisor.data,
                entry.submission_id.data or "",
                house().settings.grace_days,
                clock.now(),
            )
        flash("Counted. Nothing about the client is kept.", "good")
    except InputProblem as problem:
        flash(problem.said, "bad")
    return redirect(_back(asked), 303)


@pages.post("/clearance/supervised/<work_id>/back")
@who_may(*ASKERS)
def take_back(work_id: str) -> ResponseReturnValue:
    """Noted by mistake: it no longer counts."""
    with writing() as unit:
        asked = count_supervised.take_back(unit, work_id, clock.now())
    flash("Taken back. It no longer counts.", "good")
    return redirect(_back(asked), 303)


def _whom() -> ResponseReturnValue:
    letters = request.args.get("q", "").strip()
    with reading() as unit:
        found, more = clear_for_service.find(unit, letters)
    if letters and len(found) == 1 and "part" not in request.args:
        return redirect(url_for("clearance.ask", person=found[0][0]))
    part = "clearance/people.html" if "part" in request.args else "clearance/ask.html"
    return render_template(part, found=found, more=more, letters=letters)


def _everything() -> ResponseReturnValue:
    given = "on" in request.args
    entry = DayEntry(request.args if given else None)
    valid = given and entry.validate()
    on = entry.on.data if valid and entry.on.data else today_here()
    entry.on.data = entry.on.data or on
    person_id = request.args["person"]
    with reading() as unit:
        days = house().settings.grace_days
        found = clear_for_service.everything(unit, house().bank, person_id, on, days)
        address = name_team.address_if_shared(unit, person_id, found[0].person)
    by_method = {
        method: [one for one in found if one.ask.method == method]
        for method in house().bank.methods
    }
    by_method = dict(sorted(by_method.items(), key=lambda row: _nothing(row[1])))
    return render_template(
        "clearance/person.html",
        entry=entry,
        person_id=person_id,
        name=found[0].person,
        address=address,
        reminder=found[0].clearance.reminder,
        on=on,
        is_today=on == today_here(),
        by_method=by_method,
        words=ANSWER_WORDS,
    ), 400 if entry.errors else 200


def _nothing(answered: list[Answered]) -> bool:
    """What somebody may do comes first."""
    return all(one.clearance.answer == "not_cleared" for one in answered)


def _answer() -> str:
    entry = _question()
    valid = entry.validate()
    with reading() as unit:
        if not valid:
            name = name_team.name_of(unit, entry.person.data or "")
            told: dict[str, object] = {"found": None, "name": name}
        else:
            told = _told(unit, _ask_of(entry))
    return render_template("clearance/answer.html", entry=entry, words=ANSWER_WORDS, **told)


def _told(unit: Unit, asked: Ask) -> dict[str, object]:
    """Everything that the page of one answer says."""
    bank = house().bank
    found = clear_for_service.answer(unit, bank, asked, house().settings.grace_days)
    alone = found.clearance.answer == "cleared"
    others = () if alone else clear_for_service.who_is_cleared(unit, *_here(asked))
    wanted, done = found.rules.supervised_clients, found.supervised
    counts = wanted > 0 and found.clearance.answer == "supervised_only"
    return {
        "found": found,
        "name": found.person,
        "address": name_team.address_if_shared(unit, found.person_id, found.person),
        "others": others,
        "counted": count_supervised.counted(unit, asked) if wanted else (),
        "counts": counts and done < wanted and found.on <= today_here(),
        "urgent_rule": bank.emergency_removal_of(asked.method) if asked.urgent else None,
        "lines": clear_for_service.emergency_lines(bank, asked.method),
        "submission": new_submission(),
    }


def _question() -> QuestionEntry:
    entry = QuestionEntry(request.args)
    entry.method.choices = [(one.id, one.name) for one in house().bank.methods.values()]
    entry.service.choices = list(SERVICE_WORDS.items())
    return entry


def _ask_of(entry: QuestionEntry | DoneEntry) -> Ask:
    urgent = isinstance(entry, QuestionEntry) and entry.service.data == "remove"
    return Ask(
        entry.person.data or "",
        entry.method.data or "",
        entry.service.data or "",
        entry.on.data or today_here(),
        urgent and bool(entry.urgent.data),
    )


def _here(asked: Ask) -> tuple[Bank, Ask, int]:
    return house().bank, asked, house().settings.grace_days


def _back(asked: Ask) -> str:
    return url_for(
        "clearance.ask",
        person=asked.person_id,
        method=asked.method,
        service=asked.service,
        on=asked.on.isoformat(),
    )
