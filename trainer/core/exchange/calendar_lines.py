"""A calendar file (RFC 5545) taken apart: of each event the lines that are read, and the rest.

Only the lines in `READ` are ever looked into: notes, guests, addresses and alarms of a booking pass
by unread.
"""

import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from icalendar.parser import Contentline, unescape_backslash

TIMES = ("DTSTART", "DTEND", "DURATION")
WORDS = ("SUMMARY", "STATUS", "RESOURCES", "ORGANIZER")
SERIES = ("RRULE", "RDATE", "EXDATE", "RECURRENCE-ID", "UID", "SEQUENCE")
READ = frozenset((*TIMES, *WORDS, *SERIES))
REPEATS = frozenset(("RRULE", "RDATE", "RECURRENCE-ID"))
BOUNDS = {"BEGIN": 1, "END": -1}
SINGLE = (*TIMES, *WORDS)
FOLD = re.compile(rb"\n[ \t]")
WIDE = (b"\xff\xfe", b"\xfe\xff")

Lines = Mapping[str, str]
"""Name -> its line; of those in `SERIES`, all its lines."""
Single = tuple[str | None, ...]
"""The lines of an event that comes once, as in `SINGLE`."""


class Apart(NamedTuple):
    """A calendar taken apart: all that is no event, events that come once, and all others."""

    rest: str
    single: Sequence[Single]
    series: Sequence[Lines]


class _Names(dict[str, str]):
    """What stands before a line's colon -> the name, '' where such lines are not read."""

    def __missing__(self, begin: str) -> str:
        name = begin.partition(";")[0].upper()
        self[begin] = found = name if name in READ or name in BOUNDS else ""
        return found


def taken_apart(content: bytes) -> Apart:
    """Take a calendar file apart.

    Parameters
    ----------
    content : In UTF-8; long lines may be folded, within a letter too (3.1). What is none is read
        as older programs write it: UTF-16 with its mark, else Windows-1252.

    Returns
    -------
    Its lines, those of events apart from all others.

    Raises
    ------
    UnicodeDecodeError : If it is no text.
    """
    rest, events = _line_by_line(_plain(content))
    single = [tuple(map(one.get, SINGLE)) for one in events if REPEATS.isdisjoint(one)]
    return Apart("\n".join(rest), single, [one for one in events if not REPEATS.isdisjoint(one)])


def parts(line: str, plain: bool = False) -> tuple[Mapping[str, Any], Any]:
    """Part one line.

    Parameters
    ----------
    line : As `taken_apart` gives it.
    plain : With the escapes of a text undone.

    Returns
    -------
    Its parameters, and its value.

    Raises
    ------
    ValueError : If it is no line of a calendar.
    """
    read: Any = Contentline(line)
    _, parameters, value = read.parts() if plain else read.raw_parts()
    return parameters, value


def text_of(line: str | None) -> str:
    """Read the text that a line holds.

    Parameters
    ----------
    line : As `taken_apart` gives it; None where there is none.

    Returns
    -------
    Its value with escapes undone (3.3.11), '' for no line.

    Raises
    ------
    ValueError : If it is no line of a calendar.
    """
    if line is None:
        return ""
    name, _, value = line.partition(":")
    if ";" in name:  # parameters, where a colon may stand in quotes
        return str(parts(line, plain=True)[1])
    return unescape_backslash(value) if "\\" in value else value


def _plain(content: bytes) -> str:
    if content.startswith(WIDE):
        content = content.decode("utf-16").encode()
    plain = content.translate(None, b"\r")
    unfolded = FOLD.sub(b"", plain) if FOLD.search(plain) else plain
    try:
        return unfolded.decode("utf-8-sig")
    except UnicodeDecodeError:
        return unfolded.decode("cp1252")


def _line_by_line(text: str) -> tuple[list[str], list[dict[str, str]]]:
    """Lines outside of events, and those of each event that are read; not those of its alarms."""
    rest: list[str] = []
    events: list[dict[str, str]] = []
    event: dict[str, str] | None = None
    inside, names = 0, _Names()
    for line in text.split("\n"):
        begin, mark, value = line.partition(":")
        name = names[begin] if mark else ""
        if name in BOUNDS and value.strip().upper() == "VEVENT":
            event, inside = _turned(events, name), 0
        elif event is None:
            rest.append(line)
        elif name in BOUNDS:
            inside += BOUNDS[name]
        elif name and not inside and name not in event:
            event[name] = line
        elif name in SERIES and not inside:
            event[name] += f"\n{line}"
    return rest, events


def _turned(events: list[dict[str, str]], name: str) -> dict[str, str] | None:
    """A new event where one begins; none where it ends."""
    if name == "END":
        return None
    events.append({})
    return events[-1]
