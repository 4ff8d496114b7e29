"""Where a web page says that the record it shows stands as a file (HTML, link of rel alternate)."""

from html.parser import HTMLParser

KINDS = ("application/vc+ld+json", "application/vc", "application/ld+json", "application/json")
LARGEST = 500_000  # bytes of a page that are looked through


class _Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note every alternate of the page."""
        given = {name: value or "" for name, value in attrs}
        if tag == "link" and "alternate" in given.get("rel", "").casefold().split():
            kind = given.get("type", "").partition(";")[0].strip().casefold()
            self.found.append((kind, given.get("href", "")))


def record_file_of(page: bytes) -> str:
    """Find the record's file that a page names.

    Parameters
    ----------
    page : An HTML page.

    Returns
    -------
    The address as it stands there, whole or relative; '' where it names none.
    """
    links = _Links()
    links.feed(page[:LARGEST].decode("utf-8", "replace"))
    named = {kind: href for kind, href in reversed(links.found) if href}
    return next((named[kind] for kind in KINDS if kind in named), "")
