"""The method book, to read."""

from flask import Blueprint, render_template

from trainer.use_cases import read_book
from trainer.use_cases.refusals import NotFound
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
    """What there is to read on one method."""
    found = read_book.chapter(house().bank, method)
    return render_template("knowledge/chapter.html", chapter=found, method=found.method)


@pages.get("/<method>/steps")
@who_may(*READERS)
def steps(method: str) -> str:
    """How each service is done, what takes it off, what is watched at sign-off."""
    found = read_book.chapter(house().bank, method)
    return render_template("knowledge/steps.html", chapter=found, method=found.method)


@pages.get("/<method>/differences")
@who_may(*READERS)
def differences(method: str) -> str:
    """Where sources differ: both sides."""
    found = read_book.chapter(house().bank, method)
    return render_template("knowledge/differences.html", chapter=found, method=found.method)


@pages.get("/<method>/<topic>")
@who_may(*READERS)
def topic(method: str, topic: str) -> str:
    """What is known on one topic of a method, and the wrong ideas about it."""
    found = read_book.chapter(house().bank, method)
    part = next((one for one in found.topics if one.topic == topic), None)
    if part is None:
        raise NotFound
    return render_template("knowledge/topic.html", part=part, method=found.method)
