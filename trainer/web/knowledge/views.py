"""The method book, to read."""

from flask import Blueprint, render_template

from trainer.use_cases import read_book
from trainer.web.access import who_may
from trainer.web.house import house

pages = Blueprint("knowledge", __name__, url_prefix="/methods")
READERS = ("apprentice", "instructor", "salon_manager", "administrator")


@pages.get("")
@who_may(*READERS)
def home() -> str:
    """Every method."""
    return render_template("knowledge/home.html", methods=read_book.methods(house().bank))


@pages.get("/<method>")
@who_may(*READERS)
def chapter(method: str) -> str:
    """All that is known of one method."""
    found = read_book.chapter(house().bank, method)
    return render_template("knowledge/chapter.html", chapter=found, method=found.method)
