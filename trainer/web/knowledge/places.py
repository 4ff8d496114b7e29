"""Where things stand in the book: the page, remembered, and the paragraph on it."""

from functools import lru_cache

from flask import request, url_for

from trainer.core.marking.feedback import FactLine

PAGES = {
    "steps": "knowledge.steps",
    "differences": "knowledge.differences",
    "sources": "knowledge.sources",
}
"""Pages of the book beside its topics."""


def place(chapter: str, page: str, kind: str, name: str) -> str:
    """The address of one paragraph. `page`: a topic, or one of `PAGES`."""
    return f"{_page(request.script_root, chapter, page)}#{kind}-{name}"


def fact_place(line: FactLine) -> str:
    """The paragraph of a fact; '' where the book does not hold it."""
    return place(line.chapter, line.topic, "statement", line.id) if line.chapter else ""


@lru_cache(maxsize=512)
def _page(_root: str, chapter: str, page: str) -> str:
    if page == "sources":
        return url_for(PAGES[page])
    if page in PAGES:
        return url_for(PAGES[page], method=chapter)
    return url_for("knowledge.topic", method=chapter, topic=page)
