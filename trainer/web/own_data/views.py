"""Everything kept about whoever is signed in, as a file."""

from flask import Blueprint, Response

from trainer import clock
from trainer.use_cases.give_own_data import give_own_data
from trainer.web.access import SIGNED_IN, who_may
from trainer.web.house import writing

pages = Blueprint("own_data", __name__)
A_ZIP = "application/zip"


@pages.post("/me/data")
@who_may(SIGNED_IN)
def give() -> Response:
    """The file."""
    with writing() as unit:
        content = give_own_data(unit, clock.now())
    answer = Response(content, mimetype=A_ZIP)
    answer.headers["Content-Disposition"] = 'attachment; filename="about-me.zip"'
    answer.headers["Cache-Control"] = "no-store"
    return answer
