"""The method book: to read, to search, to print."""

from flask import Blueprint, render_template, request

from trainer.use_cases import print_book, read_book, search_book
from trainer.use_cases.refusals import NotFound
from trainer.use_cases.roles import EVERYBODY
from trainer.web.access import who_may
from trainer.web.closed import closed_while_sitting
from trainer.web.house import house
from trainer.web.knowledge.places import fact_place, place

pages = Blueprint("knowledge", __name__, url_prefix="/methods")
closed_while_sitting(pages)
pages.add_app_template_global(place)
pages.add_app_template_global(fact_place)


@pages.get("")
@who_may(*EVERYBODY)
def home() -> str:
    """Every method."""
    return render_template("knowledge/home.html", methods=read_book.methods(house().bank))


@pages.get("/search")
@who_may(*EVERYBODY)
def search() -> str:
    """Words looked up in the whole book."""
    bank = house().bank
    found = search_book.search(bank, request.args.get("q", ""))
    words = bank.wording.get(read_book.WORDS, {})
    return render_template("knowledge/search.html", result=found, words=words)


@pages.get("/sources")
@who_may(*EVERYBODY)
def sources() -> str:
    """Every work that the book rests on, and what rests on it."""
    bank = house().bank
    works = print_book.works(bank)
    return render_template("knowledge/sources.html", works=works, lines=read_book.lines(bank))


@pages.get("/<method>")
@who_may(*EVERYBODY)
def chapter(method: str) -> str:
    """What there is to read on one method."""
    found = read_book.chapter(house().bank, method)
    return render_template("knowledge/chapter.html", chapter=found, method=found.method)


@pages.get("/<method>/print")
@who_may(*EVERYBODY)
def whole(method: str) -> str:
    """All of one method on one page, for paper."""
    sheet = print_book.whole(house().bank, method)
    found = sheet.chapter
    return render_template("knowledge/whole.html", sheet=sheet, chapter=found, method=found.method)


@pages.get("/<method>/steps")
@who_may(*EVERYBODY)
def steps(method: str) -> str:
    """How each service is done, what takes it off, what is watched at sign-off."""
    found = read_book.chapter(house().bank, method)
    return render_template("knowledge/steps.html", chapter=found, method=found.method)


@pages.get("/<method>/differences")
@who_may(*EVERYBODY)
def differences(method: str) -> str:
    """Where sources differ: both sides."""
    found = read_book.chapter(house().bank, method)
    return render_template("knowledge/differences.html", chapter=found, method=found.method)


@pages.get("/<method>/<topic>")
@who_may(*EVERYBODY)
def topic(method: str, topic: str) -> str:
    """What is known on one topic of a method, and the wrong ideas about it."""
    found = read_book.chapter(house().bank, method)
    part = next((one for one in found.topics if one.topic == topic), None)
    if part is None:
        raise NotFound
    return render_template("knowledge/topic.html", part=part, method=found.method)
