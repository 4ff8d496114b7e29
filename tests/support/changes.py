"""Random changes to a signed record: to what it says, and to its bytes."""

import copy
import json

from trainer.core.draw import Draw

CHARACTERS = "aZ0 .:#/-_éл"
VALUES = (None, True, False, 0, 7, "", "x", [], {}, "https://x.example/y", ["x"], {"id": "urn:x:1"})
NAMES = (
    "note",
    "id",
    "type",
    "name",
    "@id",
    "@type",
    "@context",
    "@included",
    "validUntil",
    "proof",
)


def same(one, other) -> bool:
    """Whether two records say the same to JSON-LD: lists are sets, a list of one is its item."""
    return _settled(one) == _settled(other)


def _settled(value) -> str:
    if isinstance(value, dict):
        parts = sorted((name, _settled(part)) for name, part in value.items())
        return json.dumps(["members", parts])
    if isinstance(value, list):
        items = sorted(map(_settled, value))
        return items[0] if len(items) == 1 else json.dumps(["items", items])
    return json.dumps(value)


def places(value, path=()):
    """Every member and item, from the top down."""
    for name, part in value.items() if isinstance(value, dict) else enumerate(value):
        yield (*path, name)
        if isinstance(part, dict | list):
            yield from places(part, (*path, name))


def _at(document, path):
    for name in path:
        document = document[name]
    return document


def changed(record: dict, draw: Draw) -> dict:
    """A copy with one to three random changes; it may by chance say the same."""
    document = copy.deepcopy(record)
    for _ in range(draw.between(1, 3)):
        draw.one(CHANGES)(document, draw)
    return document


def _holder(document, draw):
    path = draw.one(list(places(document)) or [()])
    return (_at(document, path[:-1]), path[-1]) if path else (document, None)


def _spell(document, draw):
    holder, name = _holder(document, draw)
    if name is None or not isinstance(holder[name], str):
        return
    text, place = holder[name], draw.below(len(holder[name]) + 1)
    holder[name] = draw.one(
        (
            text[:place] + draw.one(CHARACTERS) + text[place:],
            text[:place] + text[place + 1 :],
            text[:place] + draw.one(CHARACTERS) + text[place + 1 :],
            text.upper(),
            text.lower(),
            text.strip(text[:1]),
            text + " ",
        )
    )


def _replace(document, draw):
    holder, name = _holder(document, draw)
    if name is not None:
        holder[name] = copy.deepcopy(draw.one(VALUES))


def _remove(document, draw):
    holder, name = _holder(document, draw)
    if name is not None:
        del holder[name]


def _add(document, draw):
    holder, _ = _holder(document, draw)
    value = copy.deepcopy(draw.one(VALUES))
    if isinstance(holder, list):
        holder.insert(draw.below(len(holder) + 1), value)
    else:
        holder[draw.one(NAMES)] = value


def _double(document, draw):
    holder, name = _holder(document, draw)
    if isinstance(holder, list):
        holder.append(copy.deepcopy(holder[name]))
    elif name is not None:
        holder[name] = [copy.deepcopy(holder[name])]


def _swap(document, draw):
    one, first = _holder(document, draw)
    other, second = _holder(document, draw)
    if first is None or second is None:
        return
    a, b = copy.deepcopy(one[first]), copy.deepcopy(other[second])
    one[first] = b
    if isinstance(other, dict) or second < len(other):
        other[second] = a


def _rename(document, draw):
    holder, name = _holder(document, draw)
    if isinstance(holder, dict) and name is not None:
        holder[draw.one((*NAMES, name.upper(), name + "s", f"https://schema.org/{name}"))] = (
            holder.pop(name)
        )


def _move(document, draw):
    holder, name = _holder(document, draw)
    target, _ = _holder(document, draw)
    if isinstance(holder, dict) and isinstance(target, dict) and name is not None:
        part = copy.deepcopy(holder.pop(name))
        target[name] = part


def _unwrap(document, draw):
    holder, name = _holder(document, draw)
    if name is not None and isinstance(holder[name], list) and len(holder[name]) == 1:
        holder[name] = holder[name][0]


CHANGES = (_spell, _spell, _replace, _remove, _add, _double, _swap, _rename, _move, _unwrap)


def bytes_changed(text: bytes, draw: Draw) -> bytes:
    """A copy with one to four random bytes put in, taken out, replaced, flipped or moved."""
    found = bytearray(text)
    for _ in range(draw.between(1, 4)):
        place = draw.below(len(found)) if found else 0
        kind = draw.below(6)
        if kind == 0:
            found.insert(place, draw.below(256))
        elif kind == 1 and found:
            del found[place : place + draw.between(1, 3)]
        elif kind == 2 and found:
            found[place] = draw.below(256)
        elif kind == 3 and found:
            found[place] ^= 1 << draw.below(8)
        elif kind == 4 and found:
            found[place:place] = found[draw.below(len(found)) :][: draw.between(1, 40)]
        elif found:
            found = found[:place] if draw.chance(0.1) else found
            found[place : place + 1] = draw.one((b'"', b"{", b"}", b"\\u0041", b"0", b" "))
    return bytes(found)
