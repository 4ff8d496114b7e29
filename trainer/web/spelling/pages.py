"""A page in American spelling: its words only, never an address, an id or what people wrote."""

import re

from trainer.core.knowledge.spelling import Respelling

PIECE = re.compile(r"<!--.*?-->|<(/?)([a-zA-Z][\w-]*)((?:\"[^\"]*\"|'[^']*'|[^'\">])*)>", re.S)
SAID = re.compile(r'\b((?:aria-label|alt|title|placeholder|data-label)=")([^"]*)"')
KEPT = {"script", "style", "textarea", "code", "pre"}
EMPTY = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}


def respelt(html: str, spelling: Respelling) -> str:
    """The page with its words respelt; what stands in an element with translate="no" is kept."""
    out: list[str] = []
    end = inside = 0
    for piece in PIECE.finditer(html):
        between, tag = html[end : piece.start()], piece.group()
        out.append(between if inside else spelling.of(between))
        end = piece.end()
        inside, closed = _depth(inside, piece)
        out.append(tag if inside or closed else _said(tag, spelling))
    out.append(html[end:] if inside else spelling.of(html[end:]))
    return "".join(out)


def _depth(inside: int, piece: re.Match[str]) -> tuple[int, bool]:
    """How deep in what is kept the page is after this tag, and whether the tag closes."""
    slash, name, rest = piece.groups()
    name = (name or "").lower()
    if not name or name in EMPTY or rest.endswith("/"):
        return inside, bool(slash)
    if slash:
        return max(0, inside - 1), True
    if inside or name in KEPT or 'translate="no"' in rest:
        return inside + 1, False
    return 0, False


def _said(tag: str, spelling: Respelling) -> str:
    """A tag whose spoken attributes are respelt."""
    if '="' not in tag:
        return tag
    return SAID.sub(lambda found: f'{found[1]}{spelling.of(found[2])}"', tag)
