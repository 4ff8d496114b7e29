"""What ends soon, the refresh set that renews it, and calendars under secret addresses."""

from flask import Blueprint, Response, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import ask_to_sit, keep_calendar, refresh_record, see_endings, sit_assessment
from trainer.use_cases.keep_calendar import MINE, PLACE
from trainer.use_cases.roles import ASKERS
from trainer.web.access import ANYONE, SIGNED_IN, who_may
from trainer.web.house import house, reading, whole_address, writing
from trainer.web.starting.entries import AskEntry

pages = Blueprint("endings", __name__)
PAGES = {MINE: "endings.mine", PLACE: "endings.place"}
CALENDAR = "text/calendar; charset=utf-8"
HOURLY = "private, max-age=3600"


@pages.get("/endings")
@who_may(*ASKERS)
def place() -> str:
    """Whose record ends soon in this house, and what each must do."""
    return _page(PLACE)


@pages.get("/endings/mine")
@who_may("apprentice")
def mine() -> str:
    """Which of my records end soon, and what to do."""
    return _page(MINE)


@pages.post("/endings/calendar")
@who_may(*ASKERS)
def make_place_calendar() -> ResponseReturnValue:
    """A secret address for the whole house; shown once."""
    return _page(PLACE, _made(PLACE))


@pages.post("/endings/mine/calendar")
@who_may(SIGNED_IN)
def make_my_calendar() -> ResponseReturnValue:
    """A secret address for my own records; shown once."""
    return _page(MINE, _made(MINE))


@pages.post("/endings/calendar/<feed_id>/end")
@who_may(*ASKERS)
def end_place_calendar(feed_id: str) -> ResponseReturnValue:
    """End an address of the house."""
    return _ended(PLACE, feed_id)


@pages.post("/endings/mine/calendar/<feed_id>/end")
@who_may(SIGNED_IN)
def end_my_calendar(feed_id: str) -> ResponseReturnValue:
    """End an address of mine."""
    return _ended(MINE, feed_id)


@pages.get("/calendar/<token>.ics")
@who_may(ANYONE)
def calendar(token: str) -> Response:
    """The calendar that a secret address opens, for programs that cannot sign in."""
    with reading() as unit:
        kind, viewer = keep_calendar.owner(unit, token)
    there = whole_address(PAGES[kind])
    with house().work.reading(viewer) as unit:
        content = keep_calendar.file(unit, house().bank, kind, there)
    answer = Response(content, content_type=CALENDAR)
    answer.headers["Cache-Control"] = HOURLY
    answer.headers["Content-Disposition"] = 'inline; filename="records.ics"'
    answer.add_etag()
    answer.make_conditional(request)
    return answer


@pages.get("/endings/mine/<method>/refresh")
@who_may("apprentice")
def refresh(method: str) -> str:
    """What a refresh set asks, what I need for it, and the way in."""
    bank, days, now = house().bank, house().settings.retake_days, clock.now()
    with reading() as unit:
        offered = refresh_record.offer(unit, bank, method, now)
        mine = ask_to_sit.eligibility(unit, bank, method, sit_assessment.REFRESH, days, now)
    return render_template("endings/refresh.html", offer=offered, mine=mine, asking=AskEntry())


def _page(kind: str, secret: str = "") -> str:
    days = house().settings.ending_days
    bank, now, after = house().bank, clock.now(), request.args.get("after", "")
    with reading() as unit:
        found = (
            see_endings.mine(unit, bank, days, now)
            if kind == MINE
            else see_endings.of_place(unit, bank, days, now, after)
        )
        feeds = keep_calendar.listed(unit, kind)
    told = {"found": found, "feeds_open": feeds, "days": days, "secret": secret}
    return render_template(f"endings/{kind}.html", **told)


def _made(kind: str) -> str:
    with writing() as unit:
        token = keep_calendar.make(unit, kind, clock.now())
    return whole_address("endings.calendar", token=token)


def _ended(kind: str, feed_id: str) -> ResponseReturnValue:
    with writing() as unit:
        keep_calendar.end(unit, kind, feed_id, clock.now())
    flash("That address gives nothing any more.", "good")
    return redirect(url_for(PAGES[kind]), 303)
