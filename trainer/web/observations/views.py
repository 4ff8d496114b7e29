"""Sign-off at the chair: choose whom and what, tick the sheet, sign; and the signed sheets."""

from collections.abc import Sequence
from typing import Any

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.core.knowledge.words import OBSERVED_SERVICES
from trainer.use_cases import (
    assign_module,
    keep_photos,
    review_cohort,
    second_sheet,
    see_signed,
    sign_off,
    watch_again,
    watch_together,
)
from trainer.use_cases.choose_practice import topics_there
from trainer.use_cases.keep_photos import Album
from trainer.use_cases.roles import REVIEWERS
from trainer.use_cases.see_signed import News
from trainer.web.access import SIGNED_IN, who_may
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house, reading, viewer, writing
from trainer.web.observations.entries import ReasonEntry, WatchEntry
from trainer.web.observations.signing import answer_sheet
from trainer.web.words import SERVICE_WORDS, method_name

pages = Blueprint("observations", __name__, url_prefix="/observations")
closed_while_sitting(pages)
LARGEST_SHEET = 32 * 1024 * 1024
SHEETS = ("observations.sheet", "observations.second")
PRIVATE = "private, max-age=600"


@pages.url_value_preprocessor
def make_room_for_photos(endpoint: str | None, _values: dict[str, Any] | None) -> None:
    """A sheet may carry photos, so it may be larger than other pages' forms."""
    if endpoint in SHEETS:
        request.max_content_length = LARGEST_SHEET


@pages.get("")
@who_may("instructor")
def home() -> ResponseReturnValue:
    """Who waits to be watched, and a choice of anybody else."""
    bank, asked = house().bank, WatchEntry(request.args)
    with reading() as unit:
        _, apprentices = assign_module.choices(unit)
        waiting = review_cohort.waiting(unit, bank, clock.now())
        seconds = [one for one in watch_together.waiting(unit) if not one.mine]
        again = watch_again.waiting(unit)
        latest = sign_off.latest(unit)
    asked.person.choices = [one for one in apprentices if one[0] != viewer().person_id]
    there = {method: sign_off.services_to_watch(bank, method) for method in bank.methods}
    asked.method.choices = [(one, method_name(one)) for one, services in there.items() if services]
    asked.service.choices = [(one, SERVICE_WORDS[one]) for one in OBSERVED_SERVICES]
    if "service" in request.args and asked.validate():
        if asked.service.data in there[asked.method.data]:
            chosen = {"method": asked.method.data, "service": asked.service.data}
            return redirect(url_for("observations.sheet", person_id=asked.person.data, **chosen))
        asked.service.errors = ("This method has no sheet for that service.",)
    code = 400 if asked.errors else 200
    told = {"waiting": waiting, "again": again, "seconds": seconds, "latest": latest}
    return render_template("observations/home.html", entry=asked, **told), code


@pages.route("/<person_id>/<method>/<service>", methods=["GET", "POST"])
@who_may("instructor")
def sheet(person_id: str, method: str, service: str) -> ResponseReturnValue:
    """The criteria to watch, and the signature."""
    with reading() as unit:
        asked = sign_off.sheet(unit, house().bank, person_id, method, service)
    return answer_sheet(asked)


@pages.route("/<observation_id>/second", methods=["GET", "POST"])
@who_may("instructor")
def second(observation_id: str) -> ResponseReturnValue:
    """The second observer's own sheet of the same work; the first's ticks are not shown."""
    with reading() as unit:
        sent = request.form.get("submission_id", "")
        first = second_sheet.work_to_second(unit, observation_id, sent)
        asked = sign_off.sheet(unit, house().bank, first.person_id, first.method, first.service)
    return answer_sheet(asked, first)


@pages.get("/mine")
@who_may("apprentice")
def mine() -> str:
    """My own work as it was watched; with that it is seen."""
    with reading() as unit:
        lines, news = sign_off.mine(unit), see_signed.unseen(unit)
    _seen(news)
    return render_template("observations/mine.html", lines=lines)


@pages.get("/two")
@who_may(*REVIEWERS)
def two() -> str:
    """Two observers: whether they are asked for, what waits, how far they agree."""
    with reading() as unit:
        found = watch_together.overview(unit)
    return render_template("observations/two.html", found=found)


@pages.post("/two")
@who_may("administrator")
def ask_for_two() -> ResponseReturnValue:
    """Ask for a second observer from now on, or no longer."""
    with writing() as unit:
        watch_together.ask_for_two(unit, request.form.get("wanted") == "yes", clock.now())
    flash("Kept. It holds for sheets signed from now on.", "good")
    return redirect(url_for("observations.two"), 303)


@pages.get("/<observation_id>")
@who_may(SIGNED_IN)
def observation(observation_id: str) -> str:
    """One observation as it was signed."""
    with reading() as unit:
        seen = sign_off.see(unit, house().bank, observation_id)
        news = [one for one in see_signed.unseen(unit) if observation_id in one.sheets]
    _seen(news)
    there = topics_there(house().bank).get(seen.line.method, ())
    return render_template(
        "observations/observation.html", seen=seen, line=seen.line, practised=there
    )


def _seen(news: Sequence[News]) -> None:
    """It no longer stands under For you. Whoever has nothing new waits for no writer."""
    if news:
        with writing() as unit:
            see_signed.saw(unit, news, clock.now())


@pages.get("/photos/<photo_id>.jpg")
@who_may(SIGNED_IN)
def photo(photo_id: str) -> Response:
    """A photo, for those who may see its sheet; only their own browser may keep it."""
    with reading() as unit:
        content = keep_photos.content(unit, Album(house().settings.evidence), photo_id)
    answer = Response(content, mimetype="image/jpeg")
    answer.headers["Cache-Control"] = PRIVATE
    return answer


@pages.route("/photos/<photo_id>/remove", methods=["GET", "POST"])
@who_may("instructor")
def remove_photo(photo_id: str) -> ResponseReturnValue:
    """Take a photo away for good, with the reason."""
    entry, album = ReasonEntry(), Album(house().settings.evidence)
    if not entry.validate_on_submit():
        with reading() as unit:
            keep_photos.content(unit, album, photo_id)
        page = render_template("observations/remove_photo.html", entry=entry, photo_id=photo_id)
        return page, 400 if entry.errors else 200
    with writing() as unit:
        about = keep_photos.remove(unit, album, photo_id, entry.reason.data or "", clock.now())
    flash("The photo is deleted. The log keeps the reason.", "good")
    return redirect(url_for("observations.observation", observation_id=about), 303)
