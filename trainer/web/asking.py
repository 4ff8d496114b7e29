"""What a question's page sends: the answer's fields, and the id of the submission."""

from collections.abc import Mapping, Sequence
from secrets import token_hex

from flask import request

LONGEST_ID = 64


def sent_answer() -> Mapping[str, Sequence[str]]:
    """Field -> values, as the page sent them."""
    return {name: request.form.getlist(name) for name in request.form}


def submission_id() -> str:
    """The id that the page gave this submission; '' if it gave none that can be used."""
    said = request.form.get("submission_id", "")
    return said if len(said) <= LONGEST_ID and said.isascii() else ""


def new_submission() -> str:
    """An id for one submission of a page."""
    return token_hex(16)
