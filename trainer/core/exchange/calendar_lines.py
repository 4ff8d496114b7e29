"""A calendar file (RFC 5545) taken apart: of each event the lines that are read, and the rest.

Only the lines in `READ` are ever looked into: notes, guests, addresses and alarms of a booking pass
by unread.
"""

import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from icalendar.parser import Contentline, unescape_backslash

SERIES = ("RRULE", "RDATE", "EXDATE", "RECURRENCE-ID", "UID", "SEQUENCE")
FOLD = re.compile(rb"\n[ \t]")
WIDE = (b"\xff\xfe", b"\xfe\xff")
INNER = r"BEGIN:(?!VEVENT)(?P<inner>.*)(?:\n(?!(?:BEGIN|END):VEVENT|END:(?P=inner)\n).*){0,1000}+"
"""What stands within an event, such as an alarm, to its end."""
EVENT = re.compile(
    rf"""
    ((?s:.*?))                       # what stands before an event
    (?: \nBEGIN:VEVENT [ \t]* (?=\n)
        ((?: \n                      # all of it, and of its lines
          (?: (?: [^BDEORS\n] | DTSTAMP) .*  # nothing below begins so: most lines pass at once
            | (DTSTART [;:] .*) | (DTEND [;:] .*) | (DURATION [;:] .*) | (SUMMARY [;:] .*)
            | (STATUS [;:] .*) | (RESOURCES [;:] .*) | (ORGANIZER [;:] .*)
            | ((?: RRULE | RDATE | RECURRENCE-ID) [;:] .*)
            | {INNER}
            | (?! (?: BEGIN | END):VEVENT) .*
          )){{0,10000}})
        (?: \nEND:VEVENT [ \t]* (?=\n | \Z))?
      | \Z
    )""",
    re.IGNORECASE | re.VERBOSE,
)
"""A calendar's text is a row of these. No part of it can fail once it has begun, so that none is
looked through twice; its bounds are for files that were made to fill the memory."""
BEFORE, WHOLE, SINGLE, REPEATS = 0, 1, slice(2, 9), 9
READ = "DTSTART|DTEND|DURATION|SUMMARY|STATUS|RESOURCES|ORGANIZER|" + "|".join(SERIES)
LINE = re.compile(rf"\n(?:({READ})[;:].*|{INNER}|.*)", re.IGNORECASE)

Lines = Mapping[str, str]
"""Name -> its line; of those in `SERIES`, all its lines."""
Single = Sequence[str]
"""The lines of an event that comes once: DTSTART, DTEND, DURATION, SUMMARY, STATUS, RESOURCES and
ORGANIZER; '' where there is none."""


class Apart(NamedTuple):
    """A calendar taken apart: all that is no event, events that come once, and all others."""

    rest: str
    single: Sequence[Single]
    series: Sequence[Lines]


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
    found = EVENT.findall(_plain(content))
    rest = "".join([one[BEFORE] for one in found])
    single = [one[SINGLE] for one in found if one[WHOLE] and not one[REPEATS]]
    return Apart(rest, single, [_lines(one[WHOLE]) for one in found if one[REPEATS]])


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


def text_of(line: str) -> str:
    """Read the text that a line holds.

    Parameters
    ----------
    line : As `taken_apart` gives it; '' where there is none.

    Returns
    -------
    Its value with escapes undone (3.3.11), '' for no line.

    Raises
    ------
    ValueError : If it is no line of a calendar.
    """
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


def _lines(event: str) -> Lines:
    """Those of an event that are read; not those of its alarms."""
    found: dict[str, str] = {}
    for one in LINE.finditer(event):
        name = (one[1] or "").upper()
        if name in SERIES and name in found:
            found[name] += one[0]
        elif name:
            found[name] = one[0].strip("\n")
    return found
