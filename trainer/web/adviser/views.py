"""The adviser. What is written about a client is read, answered and forgotten."""

from datetime import date

from flask import Blueprint, make_response, render_template, request
from flask.typing import ResponseReturnValue

from trainer import clock
from trainer.use_cases.advise_client import advise_client, taken_as_read
from trainer.use_cases.roles import EVERYBODY
from trainer.web.access import who_may
from trainer.web.adviser.sheet import WORDS, ClientSheet, blank, filled
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house

pages = Blueprint("adviser", __name__)
closed_while_sitting(pages)


@pages.get("/adviser")
@who_may(*EVERYBODY)
def home() -> ResponseReturnValue:
    """An empty sheet."""
    return _page(blank(house().bank, clock.today()), 200)


@pages.post("/adviser")
@who_may(*EVERYBODY)
def answer() -> ResponseReturnValue:
    """The answer, on the page alone: no database, no log, no copy in a cache."""
    sheet = filled(house().bank, request.form, clock.today())
    return _page(sheet, 200, asked=True) if sheet.sound else _page(sheet, 400)


def _page(sheet: ClientSheet, code: int, asked: bool = False) -> ResponseReturnValue:
    bank = sheet.bank
    found, taken = None, []
    if asked:
        found = advise_client(bank, sheet.profile, date.fromisoformat(sheet.day))
        taken = [sheet.words_for(one) for one in taken_as_read(bank, sheet.said, sheet.profile)]
    meant = bank.wording.get(WORDS, {}).get("verdicts", {})
    page = make_response(
        render_template("adviser/home.html", sheet=sheet, found=found, taken=taken, meant=meant),
        code,
    )
    page.headers["Cache-Control"] = "no-store"
    return page
