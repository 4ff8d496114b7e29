"""Choose a spelling; every page goes out in the visitor's."""

from flask import Blueprint, Response, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue
from flask_login import current_user

from trainer import clock
from trainer.core.knowledge.spelling import Respelling, respelling
from trainer.use_cases import choose_spelling
from trainer.web.access import SIGNED_IN, who_may
from trainer.web.house import house, writing
from trainer.web.spelling.pages import respelt

pages = Blueprint("spelling", __name__)
AMERICAN = "american"
LANGUAGES = {"british": "en-GB", AMERICAN: "en-US"}
HTML = "text/html"


@pages.app_template_global()
def language() -> str:
    """The language of the page, as browsers and screen readers name it."""
    return LANGUAGES[_wanted()]


@pages.after_app_request
def in_their_spelling(answer: Response) -> Response:
    """Screens are written in British spelling; at the door they change for whoever wants it."""
    if answer.mimetype == HTML and not answer.is_streamed and _wanted() == AMERICAN:
        answer.set_data(respelt(answer.get_data(as_text=True), _table()))
    return answer


@pages.post("/me/spelling")
@who_may(SIGNED_IN)
def mine() -> ResponseReturnValue:
    """My own choice."""
    with writing() as unit:
        choose_spelling.for_me(unit, request.form.get("spelling", ""))
    flash("Your spelling is set.", "good")
    return redirect(url_for("sign_in.me"), 303)


@pages.post("/me/organisation/spelling")
@who_may("administrator")
def of_organisation() -> ResponseReturnValue:
    """What holds for everybody here who has not chosen."""
    with writing() as unit:
        choose_spelling.for_organisation(unit, request.form.get("spelling", ""), clock.now())
    flash("The spelling of this place is set.", "good")
    return redirect(url_for("sign_in.me"), 303)


def _wanted() -> str:
    return current_user.spelling if current_user.is_authenticated else "british"


def _table() -> Respelling:
    bank = house().bank
    return bank.once(("american",), lambda: respelling(bank))
