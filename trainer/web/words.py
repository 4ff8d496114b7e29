"""How screens say things: names, days, standings, and the way around by role."""

from datetime import date, datetime
from functools import lru_cache
from typing import Any

from flask import Flask, current_app, render_template, request, url_for
from flask_login import current_user
from flask_wtf.csrf import generate_csrf
from markupsafe import Markup

from trainer.use_cases.roles import ASKERS, DECIDERS, EVERYBODY, REVIEWERS, Role
from trainer.web.house import house, whole_address

TOPIC_WORDS = {
    "timings": "Timings",
    "contraindications": "When to say no",
    "removal_safety": "Safe removal",
    "tension_risk": "Tension",
    "consultation": "Consultation",
    "aftercare": "Aftercare",
    "hygiene_products": "Hygiene and products",
}
SERVICE_WORDS = {
    "consult": "Consult",
    "fit": "Fit",
    "maintain": "Maintain",
    "remove": "Remove",
    "aftercare": "Aftercare",
}
ROLE_WORDS = {
    "apprentice": "Apprentice",
    "instructor": "Instructor",
    "salon_manager": "Salon manager",
    "administrator": "Administrator",
}
VERDICT_WORDS = {
    "go_ahead": "Go ahead",
    "adapt": "Adapt",
    "wait": "Wait",
    "refer": "Refer",
    "decline": "Decline",
}
ANSWER_WORDS = {
    "cleared": "Cleared",
    "supervised_only": "Supervised only",
    "not_cleared": "Not cleared",
}
WAYS: tuple[tuple[tuple[Role, ...], str, str], ...] = (
    (("apprentice",), "practice.home", "Practise"),
    (("apprentice",), "sittings.home", "Assessments"),
    (("apprentice",), "competency.home", "How I stand"),
    (("apprentice",), "records.mine", "My records"),
    (("instructor",), "cohort.home", "Today"),
    (("instructor",), "modules.home", "Modules"),
    (("instructor",), "observations.home", "Sign off"),
    (("salon_manager",), "team.home", "Team"),
    (("salon_manager",), "clearance.ask", "Clearance"),
    (("salon_manager",), "week.home", "Week"),
    (REVIEWERS, "standards.home", "Standards"),
    (DECIDERS, "records.issued", "Records"),
    (ASKERS, "people.home", "People"),
    (EVERYBODY, "needs.home", "For you"),
    (("apprentice", "instructor", "salon_manager"), "knowledge.home", "Method book"),
    (EVERYBODY, "adviser.home", "Adviser"),
)
"""Roles, page, what the way there is called."""
WHERE_PEOPLE_TRAIN = ("standards.home", "records.issued")
"""A salon holds no assessments and issues no records: there these ways would end at nothing."""


def day(value: date | datetime | None) -> str:
    """'Tue 3 Mar 2026'."""
    return "" if value is None else f"{value:%a} {value.day} {value:%b %Y}"


def moment(value: datetime | None) -> str:
    """'Tue 3 Mar 2026, 14:05'."""
    return "" if value is None else f"{day(value)}, {value:%H:%M} UTC"


def method_name(method: str) -> str:
    """What a method is called."""
    known = house().bank.methods.get(method)
    return known.name if known else method


Way = tuple[str, str, str]
"""Address, words, page."""


def ways() -> tuple[Way, ...]:
    """The ways that the visitor's roles open here."""
    if not current_user.is_authenticated:
        return ()
    return _ways(request.script_root, current_user.viewer.roles, _kind_of_place())


def _kind_of_place() -> str:
    return current_user.place.kind if current_user.place else ""


@lru_cache(maxsize=64)
def _ways(_root: str, mine: frozenset[str], kind: str) -> tuple[Way, ...]:
    return tuple(
        (address_of(page), words, page)
        for roles, page, words in WAYS
        if mine.intersection(roles) and is_page(page)
        if kind != "salon" or page not in WHERE_PEOPLE_TRAIN
    )


def top_of_page() -> Markup:
    """Name, place and the ways around: the same for a person until they go another way."""
    visitor = current_user._get_current_object()
    if not visitor.is_authenticated:
        return _top(request.script_root, "", "", (), "")
    place = visitor.place.name if visitor.place else ""
    path, open_here = request.path, ways()
    beneath = (a for a, _, _ in open_here if path == a or path.startswith(f"{a}/"))
    active = next(beneath, "")
    return _top(request.script_root, visitor.person.name, place, open_here, active)


@lru_cache(maxsize=4096)
def _top(_root: str, name: str, place: str, ways: tuple[Way, ...], active: str) -> Markup:
    told = {"name": name, "place": place, "ways": ways, "active": active}
    return Markup(render_template("parts/top.html", **told))  # noqa: S704  escaped by the template


def token_again() -> str:
    """The form's token: the one just sent, which was found good and stays so, or a new one."""
    return request.form.get("csrf_token") or str(generate_csrf())


def is_page(page: str) -> bool:
    """Whether the app has a page of that name."""
    return page in current_app.view_functions


def address_of(page: str, **values: Any) -> str:
    """`url_for`, remembered for static files and for pages without values: every page asks."""
    if values and page != "static":
        return url_for(page, **values)
    return _remembered(request.script_root, page, values.get("filename"))


@lru_cache(maxsize=512)
def _remembered(_root: str, page: str, filename: str | None) -> str:
    return url_for(page, filename=filename) if filename else url_for(page)


def speak(app: Flask) -> None:
    """Give the templates these words."""
    app.jinja_env.filters.update(day=day, moment=moment, method=method_name)
    app.jinja_env.globals.update(
        top_of_page=top_of_page,
        token_again=token_again,
        url_for=address_of,
        whole_address=whole_address,
        is_page=is_page,
        topics=TOPIC_WORDS,
        services=SERVICE_WORDS,
        role_words=ROLE_WORDS,
        verdicts=VERDICT_WORDS,
    )

    @app.context_processor
    def around() -> dict[str, Any]:
        return {"visitor": current_user._get_current_object()}
