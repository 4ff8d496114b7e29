"""Records from elsewhere: look, keep, check the status, let go; and the issuers that count here."""

from typing import Any

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import (
    accept_issuer,
    check_status,
    fetch_record,
    keep_outside_record,
    list_outside_records,
)
from trainer.use_cases.name_team import staff
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.roles import ASKERS, SETTERS
from trainer.use_cases.tell_apart import tell_apart
from trainer.web.access import who_may
from trainer.web.elsewhere.entries import IssuerEntry, KeepEntry, RecordEntry
from trainer.web.house import house, reading, today_here, viewer, writing
from trainer.web.outside import door
from trainer.web.telling import tell
from trainer.web.words import SERVICE_WORDS

pages = Blueprint("elsewhere", __name__, url_prefix="/elsewhere")
LARGEST_PHOTO = 11 * 1024 * 1024
LOOKING = "elsewhere.look"


@pages.url_value_preprocessor
def make_room_for_a_photo(endpoint: str | None, _values: dict[str, Any] | None) -> None:
    """A QR code may come as a photo, which is larger than other pages' forms."""
    if endpoint == LOOKING:
        request.max_content_length = LARGEST_PHOTO


@pages.get("")
@who_may(*ASKERS)
def home() -> str:
    """What is kept, and a way to give one more."""
    return _home(RecordEntry())


@pages.post("")
@who_may(*ASKERS)
def look() -> ResponseReturnValue:
    """Look at a record: what it says, who signed it, what it would count for."""
    entry = RecordEntry()
    if not entry.validate():
        return _home(entry), 400
    try:
        return _looked(_given(entry))
    except InputProblem as problem:
        return _home(entry, problem), 400


@pages.post("/keep")
@who_may(*ASKERS)
def keep() -> ResponseReturnValue:
    """Keep a record for somebody of the team, and check its status at once."""
    entry = KeepEntry()
    content = (entry.document.data or "").encode("utf-8", "surrogatepass")
    with reading() as unit:
        entry.person.choices = tell_apart(unit, staff(unit))
    if not entry.validate():
        return _looked(content, entry), 400
    try:
        with writing() as unit:
            record_id = keep_outside_record.keep(
                unit, house().bank, content, entry.person.data, bool(entry.agreed.data), clock.now()
            )
    except InputProblem as problem:
        tell(entry, problem, entry.person)
        return _looked(content, entry), 400
    flash("The record is kept.")
    return _status(record_id)


@pages.post("/<record_id>/status")
@who_may(*ASKERS)
def status(record_id: str) -> ResponseReturnValue:
    """Look again whether a record still holds."""
    return _status(record_id)


@pages.post("/<record_id>/remove")
@who_may(*ASKERS)
def remove(record_id: str) -> ResponseReturnValue:
    """Let a record go."""
    with writing() as unit:
        keep_outside_record.remove(unit, record_id, clock.now())
    flash("The record is removed.")
    return redirect(url_for("elsewhere.home"))


@pages.route("/issuers", methods=["GET", "POST"])
@who_may(*ASKERS)
def issuers() -> ResponseReturnValue:
    """Whose records count here, and for what."""
    entry = IssuerEntry()
    entry.methods.choices = [(one.id, one.name) for one in house().bank.methods.values()]
    entry.services.choices = list(SERVICE_WORDS.items())
    if entry.validate_on_submit():
        try:
            name = _accepted(entry)
        except InputProblem as problem:
            tell(entry, problem, entry.identity)
        else:
            flash(f"Records of {name} count from now on, for what you ticked.")
            return redirect(url_for("elsewhere.issuers"))
    elif request.method == "GET":
        entry.identity.data = request.args.get("issuer", "")[:2000]
    with reading() as unit:
        found = accept_issuer.listed(unit)
    may = viewer().is_a(*SETTERS)
    page = render_template("elsewhere/issuers.html", entry=entry, found=found, may=may)
    return page, 400 if entry.errors else 200


@pages.post("/issuers/<accepted_id>/end")
@who_may(*SETTERS)
def end_issuer(accepted_id: str) -> ResponseReturnValue:
    """Accept an issuer no longer."""
    with writing() as unit:
        accept_issuer.end(unit, accepted_id, clock.now())
    flash("Its records count for nothing from now on.")
    return redirect(url_for("elsewhere.issuers"))


def _accepted(entry: IssuerEntry) -> str:
    identity = accept_issuer.identify(entry.identity.data or "", door())
    wish = accept_issuer.Wish(
        entry.name.data or "", entry.methods.data or (), entry.services.data or ()
    )
    with writing() as unit:
        accept_issuer.accept(unit, house().bank, identity, wish, clock.now())
    return wish.name.strip()


def _given(entry: RecordEntry) -> bytes:
    """The record, from whichever way it was given."""
    photo = entry.photo.data.read() if entry.photo.data else b""
    if photo:
        return fetch_record.from_photo(photo, door())
    file: bytes = entry.record_file.data.read() if entry.record_file.data else b""
    typed = (entry.text.data or "").encode("utf-8", "surrogatepass")
    return fetch_record.from_text(file or typed, door())


def _looked(content: bytes, entry: KeepEntry | None = None) -> str:
    with reading() as unit:
        found = keep_outside_record.look(unit, house().bank, content, clock.now())
        team = dict(tell_apart(unit, staff(unit)))
    if entry is None:
        entry = KeepEntry(formdata=None, document=found.text)
        entry.person.choices = list(team.items())
        entry.person.data = found.fits[0] if len(found.fits) == 1 else None
    entry.person.choices = [("", "Choose"), *entry.person.choices]
    names = [team[one] for one in found.fits]
    return render_template("elsewhere/look.html", found=found, entry=entry, names=names)


def _status(record_id: str) -> ResponseReturnValue:
    """Fetch the lists before the unit opens: nobody waits for another house's machine."""
    try:
        with reading() as unit:
            addresses = check_status.lists_of(unit, record_id)
        lists = check_status.fetched(addresses, door())
        with writing() as unit:
            days = house().settings.status_days
            found = check_status.check(unit, record_id, lists, clock.now(), days)
        kind = {"in_force": "good", "marked": "bad"}.get(found.state, "watch")
        flash(found.said if found.state else f"Status not checked: {found.said}", kind)
    except InputProblem as problem:
        told = f"Status not checked: {problem.what}. It counts once that can be done."
        flash(f"{told} Press 'Check its status now' in a while.", "watch")
    return redirect(url_for("elsewhere.home"))


def _home(entry: RecordEntry, problem: InputProblem | None = None) -> str:
    with reading() as unit:
        kept = list_outside_records.listed(unit, house().settings.status_days)
        count = len(accept_issuer.listed(unit))
    return render_template(
        "elsewhere/home.html",
        entry=entry,
        kept=kept,
        count=count,
        problem=problem,
        today=today_here(),
    )
