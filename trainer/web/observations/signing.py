"""A sheet on screen: shown, sent, signed; what is wrong with it stands at its field."""

from flask import flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.marking.photo import Photo
from trainer.use_cases import keep_photos, sign_off
from trainer.use_cases.keep_photos import Album
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.second_sheet import Work
from trainer.use_cases.sign_in import Proven
from trainer.use_cases.sign_off import Signed, Signing, Watched
from trainer.web.asking import new_submission
from trainer.web.house import house, prove, writing
from trainer.web.observations.entries import SheetEntry
from trainer.web.records.issuing import issuing
from trainer.web.telling import tell

AGAIN = "Choose the photos again: a page cannot keep them."


def answer_sheet(asked: sign_off.Sheet, first: Work | None = None) -> ResponseReturnValue:
    """The page of a sheet, or the way to what was signed. `first`: this is the second sheet."""
    entry = SheetEntry()
    entry.met.choices = [(one.id, one.text) for one in asked.criteria]
    if request.method == "GET":
        entry.submission_id.data = new_submission()
        entry.on.data = clock.today()
    if first is not None:
        entry.on.validators, entry.on.data = [], first.observed_at.date()
    if request.method == "POST" and entry.validate():
        try:
            return _signed(asked, entry, first)
        except InputProblem as problem:
            tell(entry, problem, entry.met)
    return _page(asked, entry, first), 400 if entry.errors else 200


def _page(asked: sign_off.Sheet, entry: SheetEntry, first: Work | None) -> str:
    if entry.errors and any(one.filename for one in entry.photos.data or []):
        entry.photos.errors = (*entry.photos.errors, AGAIN)
    return render_template(
        "observations/sheet.html",
        sheet=asked,
        first=first,
        entry=entry,
        critical=[one.id for one in asked.criteria if one.critical],
        others=[one.id for one in asked.criteria if not one.critical],
        needed=sign_off.others_needed(asked, house().settings.observation_share),
        most_photos=keep_photos.MOST,
    )


def _signed(asked: sign_off.Sheet, entry: SheetEntry, first: Work | None) -> ResponseReturnValue:
    proven = prove(entry.password.data)
    photos = keep_photos.prepare(entry.sent_photos(), bool(entry.agreed.data))
    watched = Watched(
        asked.person_id,
        asked.method,
        asked.service,
        frozenset(entry.met.data or []),
        entry.notes.data or "",
        entry.on.data or clock.today(),
        entry.submission_id.data or "",
        entry.next_step.data or "",
        first.id if first else "",
    )
    signed = _kept(watched, proven, photos)
    if signed.record_id:
        flash(f"That was the last one: {asked.name}'s completion record is issued.", "good")
    return redirect(url_for("observations.observation", observation_id=signed.id), 303)


def _kept(watched: Watched, proven: Proven, photos: tuple[Photo, ...]) -> Signed:
    """Sheet and photos, or neither."""
    settings = house().settings
    album = Album(settings.evidence)
    signing = Signing(settings.observation_share, issuing(), album)
    try:
        with writing() as unit:
            return sign_off.sign(unit, house().bank, watched, proven, signing, clock.now(), photos)
    except BaseException:
        album.take_back()
        raise
