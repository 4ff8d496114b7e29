"""A page in American spelling: its words only, never an address, an id or what people wrote."""

import re
from html.parser import HTMLParser

from trainer.core.knowledge.spelling import Respelling

SAID = re.compile(r'\b((?:aria-label|alt|title|placeholder|data-label)=")([^"]*)"')
KEPT = {"script", "style", "textarea", "code", "pre"}
EMPTY = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}
Given = list[tuple[str, str | None]]


def respelt(html: str, spelling: Respelling) -> str:
    """The page with its words respelt; what stands in an element with translate="no" is kept."""
    page = _Page(spelling)
    page.feed(html)
    page.close()
    return page.text()


class _Page(HTMLParser):
    """Writes a page out as it is read: markup as it stood, words between tags respelt."""

    def __init__(self, spelling: Respelling) -> None:
        super().__init__(convert_charrefs=False)
        self._spelling = spelling
        self._out: list[str] = []
        self._words: list[str] = []
        self._kept = 0  # how deep inside what is kept

    def text(self) -> str:
        """All that was read."""
        self._flush()
        return "".join(self._out)

    def handle_starttag(self, tag: str, attrs: Given) -> None:
        self._flush()
        raw = self.get_starttag_text() or ""
        opens = tag not in EMPTY
        if opens and (self._kept or tag in KEPT or ("translate", "no") in attrs):
            self._kept += 1
        self._out.append(raw if self._kept else self._said(raw))

    def handle_startendtag(self, tag: str, attrs: Given) -> None:
        self._flush()
        raw = self.get_starttag_text() or ""
        self._out.append(raw if self._kept else self._said(raw))

    def handle_endtag(self, tag: str) -> None:
        self._flush()
        self._kept = max(0, self._kept - 1)
        self._out.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        self._words.append(data)

    def handle_entityref(self, name: str) -> None:
        self._words.append(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self._words.append(f"&#{name};")

    def handle_comment(self, data: str) -> None:
        self._flush()
        self._out.append(f"<!--{data}-->")

    def handle_decl(self, decl: str) -> None:
        self._flush()
        self._out.append(f"<!{decl}>")

    def _flush(self) -> None:
        """Words and the signs between them go out as one text: a name may hold an '&'."""
        said = "".join(self._words)
        self._out.append(said if self._kept else self._spelling.of(said))
        self._words.clear()

    def _said(self, tag: str) -> str:
        """A tag whose spoken attributes are respelt."""
        spelt = self._spelling.of
        return SAID.sub(lambda found: f'{found[1]}{spelt(found[2])}"', tag)
