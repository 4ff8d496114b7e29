"""Pages about other programs: how to ask, and the access codes of an organisation."""

from flask import Blueprint, flash, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases import keep_access
from trainer.use_cases.roles import SETTERS
from trainer.web.access import ANYONE, who_may
from trainer.web.api.entries import PURPOSE_WORDS, CodeEntry
from trainer.web.api.examples import examples
from trainer.web.api.problems import ADDRESS, KINDS
from trainer.web.api.serving import description
from trainer.web.house import house, reading, writing
from trainer.web.records.issuing import issuing

pages = Blueprint("api", __name__)


@pages.get("/programs/guide")
@who_may(ANYONE)
def guide() -> str:
    """How a program asks, from the description itself."""
    address = issuing().base_url + ADDRESS
    return render_template(
        "api/guide.html",
        address=address,
        found=description(),
        shapes=description().document["components"]["schemas"],
        kinds=KINDS,
        calls=house().settings.api_calls,
        examples=examples(address),
        purposes=PURPOSE_WORDS,
    )


@pages.get("/programs")
@who_may(*SETTERS)
def home() -> str:
    """The access codes that are open."""
    return _home(CodeEntry())


@pages.post("/programs")
@who_may(*SETTERS)
def make() -> ResponseReturnValue:
    """Make a code: it is shown now and never again."""
    entry = CodeEntry()
    if not entry.validate_on_submit():
        return _home(entry), 400
    with writing() as unit:
        code = keep_access.make(unit, entry.purpose.data, entry.label.data or "", clock.now())
    return render_template(
        "api/made.html",
        code=code,
        label=entry.label.data,
        words=PURPOSE_WORDS[entry.purpose.data],
    )


@pages.post("/programs/<token_id>/end")
@who_may(*SETTERS)
def end(token_id: str) -> ResponseReturnValue:
    """End a code."""
    with writing() as unit:
        keep_access.end(unit, token_id, clock.now())
    flash("The access code is ended. Whoever uses it is refused from now on.", "good")
    return redirect(url_for("api.home"), 303)


def _home(entry: CodeEntry) -> str:
    with reading() as unit:
        codes = keep_access.listed(unit)
    return render_template("api/home.html", codes=codes, entry=entry, purposes=PURPOSE_WORDS)
