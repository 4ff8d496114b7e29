"""The week check: a file or an address in, the answer out, and the rules it learnt."""

from collections.abc import Mapping
from contextlib import closing
from datetime import date
from typing import Any

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.bookings.booking import Diary, Week, week_of
from trainer.core.bookings.matching import words_of
from trainer.core.bookings.service_said import service_said
from trainer.core.records.clearance import REMINDER
from trainer.use_cases import (
    check_week,
    example_week,
    keep_diary,
    keep_matching_rules,
    note_week,
    read_bookings,
)
from trainer.use_cases.check_week import Checked
from trainer.use_cases.keep_matching_rules import Meaning
from trainer.use_cases.name_team import staff
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS
from trainer.use_cases.tell_apart import tell_apart
from trainer.use_cases.work import Unit
from trainer.web.access import who_may
from trainer.web.house import house, reading, today_here, writing
from trainer.web.outside import door
from trainer.web.telling import tell
from trainer.web.week.carried import packed, unpacked
from trainer.web.week.entries import NOBODY, NOTHING, AddressEntry, FileEntry, RuleEntry
from trainer.web.week.listed import listed
from trainer.web.words import SERVICE_WORDS

pages = Blueprint("week", __name__)
LARGEST_DIARY = 16 * 1024 * 1024
"""Bytes: the whole diary of a busy house, ten years and more; one week of it is read."""
MOST_ASKED = 30
"""Groups that are asked about on one page; the largest come first."""
KINDS = {"ics": "text/calendar; charset=utf-8", "csv": "text/csv; charset=utf-8"}


@pages.url_value_preprocessor
def make_room_for_a_diary(endpoint: str | None, _values: dict[str, Any] | None) -> None:
    """Programs export all they hold, which is larger than other pages' forms."""
    if endpoint == "week.check":
        request.max_content_length = LARGEST_DIARY


@pages.get("/week")
@who_may(*ASKERS)
def home() -> str:
    """Where the bookings come from."""
    return _home(FileEntry(week=_default_week()))


@pages.post("/week")
@who_may(*ASKERS)
def check() -> ResponseReturnValue:
    """Check the bookings of a file that is given."""
    entry = FileEntry()
    if not entry.validate():
        return _home(entry), 400
    content = b""
    if entry.bookings.data:
        with closing(entry.bookings.data) as sent:  # a large one stands in a file on the disk
            content = sent.read()
    return _checked(entry, content, week_of(entry.week.data or today_here()))


@pages.post("/week/fetch")
@who_may(*ASKERS)
def fetch() -> ResponseReturnValue:
    """Fetch the bookings from the address that the salon gave, and check them."""
    entry = FileEntry()
    if not entry.validate():
        return _home(entry), 400
    try:
        with reading() as unit:
            address = keep_diary.address(unit)
        content = door().fetch(address, LARGEST_DIARY).content
    except InputProblem as problem:
        return _home(entry, problem), 400
    return _checked(entry, content, week_of(entry.week.data or today_here()))


@pages.post("/week/confirm")
@who_may(*ASKERS)
def confirm() -> ResponseReturnValue:
    """Keep what the salon says the words mean, and check the same bookings again."""
    try:
        week, diary = unpacked(request.form.get("carried", ""))
    except InputProblem as stale:
        return _home(FileEntry(week=_default_week()), stale), 400
    meanings, problem = _meanings(), None
    try:
        with writing() as unit:
            for one in meanings:
                keep_matching_rules.confirm(unit, house().bank, one, clock.now())
    except InputProblem as refused:
        problem = refused
    with reading() as unit:
        again = _check(unit, week, diary)
    page = _answer(again, problem, learnt=0 if problem else len(meanings))
    return page, 400 if problem else 200


@pages.route("/week/rules", methods=["GET", "POST"])
@who_may(*ASKERS)
def rules() -> ResponseReturnValue:
    """What words mean in this salon, and one more by hand."""
    with reading() as unit:
        team = dict(tell_apart(unit, staff(unit)))
    entry = _rule_entry(team)
    if entry.validate_on_submit() and _learnt(entry):
        flash("The rule is kept.")
        return redirect(url_for("week.rules"))
    with reading() as unit:
        found = keep_matching_rules.rules(unit)
    page = render_template("week/rules.html", entry=entry, rules=found, team=team)
    return page, 400 if entry.errors else 200


@pages.post("/week/rules/<rule_id>/delete")
@who_may(*ASKERS)
def forget_rule(rule_id: str) -> ResponseReturnValue:
    """Delete a rule."""
    with writing() as unit:
        keep_matching_rules.forget(unit, rule_id)
    flash("The rule is deleted.")
    return redirect(url_for("week.rules"))


@pages.route("/week/address", methods=["GET", "POST"])
@who_may(*ASKERS)
def address() -> ResponseReturnValue:
    """Keep or forget where the bookings stand, and the salon's time zone."""
    entry = AddressEntry()
    if entry.validate_on_submit():
        given = (entry.address.data or "").strip()
        forget = request.form.get("forget") == "1"
        try:
            with writing() as unit:
                text = "" if forget else given or None
                keep_diary.keep(unit, text, entry.zone.data or "", clock.now())
        except InputProblem as problem:
            tell(entry, problem, entry.address)
        else:
            flash("The address is forgotten." if forget else "Kept.")
            return redirect(url_for("week.home"))
    with reading() as unit:
        kept = keep_diary.given(unit)
    if request.method == "GET":
        entry.zone.data = kept.zone
    page = render_template("week/address.html", entry=entry, kept=kept)
    return page, 400 if entry.errors else 200


@pages.get("/week/example.<kind>")
@who_may(*ASKERS)
def example(kind: str) -> Response:
    """A made-up week of this salon's team, to try the check with."""
    with reading() as unit:
        content = example_week.example(unit, week_of(today_here()), kind)
    answer = Response(content, content_type=KINDS[kind])
    answer.headers["Content-Disposition"] = f'attachment; filename="example-week.{kind}"'
    return answer


def _rule_entry(team: Mapping[str, str]) -> RuleEntry:
    entry = RuleEntry()
    entry.kind.choices = [("work", "What is done"), ("person", "Who does it")]
    methods = [(one.id, one.name) for one in house().bank.methods.values()]
    entry.method.choices = [(NOTHING, "Nothing to check"), *methods]
    entry.service.choices = [("", "Choose"), *SERVICE_WORDS.items()]
    entry.who.choices = [(NOBODY, "Nobody of the team"), *team.items()]
    return entry


def _learnt(entry: RuleEntry) -> bool:
    said = entry.method.data if entry.kind.data == "work" else entry.who.data
    meaning = _meaning(entry.words.data or "", entry.kind.data, said, entry.service.data or "")
    try:
        with writing() as unit:
            keep_matching_rules.confirm(unit, house().bank, meaning, clock.now())
    except InputProblem as problem:
        tell(entry, problem, entry.words)
        return False
    return True


def _checked(entry: FileEntry, content: bytes, week: Week) -> ResponseReturnValue:
    try:
        with reading() as unit:
            diary = read_bookings.read(unit, content, week)
            found = _check(unit, week, diary)
        return _answer(found)
    except InputProblem as problem:
        return _home(entry, problem), 400


def _check(unit: Unit, week: Week, diary: Diary) -> Checked:
    grace_days = house().settings.grace_days
    return check_week.check(unit, house().bank, week, diary, grace_days, today_here())


def _answer(found: Checked, problem: InputProblem | None = None, learnt: int = 0) -> str:
    if not found.noted:
        _note(found)
    methods = house().bank.methods.values()
    return render_template(
        "week/answer.html",
        found=found,
        days=listed(found.lines, {one.id: one.name for one in methods}),
        work=found.work[:MOST_ASKED],
        people=found.people[:MOST_ASKED],
        nothing=NOTHING,
        nobody=NOBODY,
        methods=methods,
        carried=packed(found.week, found.diary) if found.asked else "",
        problem=problem,
        said=request.form if problem else {},
        service_said=lambda words: service_said(words_of(words)),
        learnt=learnt,
        reminder=REMINDER,
    )


def _note(found: Checked) -> None:
    with writing() as unit:
        note_week.note(unit, found.week, found.days, clock.now())


def _home(entry: FileEntry, problem: InputProblem | None = None) -> str:
    with reading() as unit:
        kept = keep_diary.given(unit)
        count = len(keep_matching_rules.rules(unit))
    return render_template("week/home.html", entry=entry, kept=kept, count=count, problem=problem)


def _default_week() -> date:
    return week_of(today_here()).monday


def _meanings() -> list[Meaning]:
    """What was said of each group; a group without an answer waits."""
    found = []
    for kind in ("work", "person"):
        for number in range(MOST_ASKED):
            said = request.form.get(f"{kind}_{number}", "")
            if said:
                words = request.form.get(f"{kind}_words_{number}", "")
                service = request.form.get(f"service_{number}", "")
                found.append(_meaning(words, kind, said, service))
    return found


def _meaning(words: str, kind: str, said: str, service: str) -> Meaning:
    if kind == "person":
        return Meaning(words, "person", person="" if said == NOBODY else said)
    return Meaning(words, "work", *(("", "") if said == NOTHING else (said, service)))
