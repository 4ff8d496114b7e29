"""Every page fetched in a test is checked as a page."""

import re
from html.parser import HTMLParser


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.faults: list[str] = []
        self.headings: list[str] = []
        self.labelled: set[str] = set()
        self.controls: list[tuple[str, bool]] = []
        self.inside_label = 0
        self.ids: list[str] = []

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        if "style" in given or any(name.startswith("on") for name in given):
            self.faults.append(f"<{tag}> carries its own style or script")
        if tag == "style" or (tag == "script" and "src" not in given):
            self.faults.append(f"inline <{tag}>")
        if tag == "img" and "alt" not in given:
            self.faults.append("<img> without alt")
        if "id" in given:
            self.ids.append(given["id"])
        self._controls(tag, given)
        if tag in ("h1", "h2", "h3", "h4"):
            self.headings.append(tag)

    def _controls(self, tag, given):
        if tag == "label":
            self.inside_label += 1
            self.labelled.add(given.get("for", ""))
        if tag in ("select", "textarea") or (
            tag == "input" and given.get("type") not in ("hidden", "submit")
        ):
            named = bool(self.inside_label or given.get("aria-label"))
            self.controls.append((given.get("id", ""), named))

    def handle_endtag(self, tag):
        if tag == "label":
            self.inside_label -= 1


def words(html: str) -> str:
    """What is read on a page: no tags, so no hidden tokens either, one blank between words."""
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


def faults(html: str) -> list[str]:
    """What is wrong with a page, in words."""
    reader = _Reader()
    reader.feed(html)
    found = list(reader.faults)
    title = re.search(r"<title>(.*?)</title>", html, re.S)
    if not title or not title.group(1).strip().strip("· ").removesuffix("Trainer").strip(" ·\n"):
        found.append("no title")
    if not re.search(r'<html lang="en-(GB|US)"', html):
        found.append("no language")
    if reader.headings.count("h1") != 1:
        found.append(f"{reader.headings.count('h1')} first headings")
    found += [f"id {i} twice" for i in set(reader.ids) if reader.ids.count(i) > 1]
    found += [
        f"control {name or '?'} without a label"
        for name, named in reader.controls
        if not named and name not in reader.labelled
    ]
    return found
