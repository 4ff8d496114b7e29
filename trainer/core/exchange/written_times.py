"""Days, times of day and lengths as people write them in a table."""

import re
from datetime import date, datetime, time, timedelta
from functools import lru_cache

NUMBERS = re.compile(r"(\d{1,2})[/.-](\d{1,2})[/.-](\d{4}|\d{2})")
CENTURY, SHORT = 2000, 100
"""What is added to a year in two digits, all of which are below the second."""
WORDED = ("%d %b %Y", "%d %B %Y", "%b %d %Y", "%B %d %Y")
TIMES = ("%H:%M", "%H:%M:%S", "%H.%M", "%HH%M", "%I:%M %p", "%I:%M%p") + (
    "%I.%M %p",
    "%I.%M%p",
    "%I %p",
    "%I%p",
)
BEGINNINGS = re.compile(r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.IGNORECASE)
MIDNIGHT = re.compile(r"[ T]00:00(?::00(?:\.0+)?)?$")
"""What programs that hold a day as a moment write behind it."""
ORDINAL = re.compile(r"(?<=\d)(?:st|nd|rd|th)\b", re.IGNORECASE)
HALF_OF_DAY = re.compile(r"\b([AP])\.\s?M\.?|(?<=\d)([AP])\.\s?M\.?")
FIGURES = re.compile(r"\d{3,4}")
HOURS_AND_MINUTES = re.compile(
    r"(?:(\d{1,2})\s*h(?:(?:ou)?rs?)?\.?)?\s*(?:(\d{1,4})\s*(?:m(?:in(?:ute)?s?)?\.?)?)?",
    re.IGNORECASE,
)
CLOCKED = re.compile(r"(\d{1,2}):(\d{2})(?::00)?")


class UnreadCell(ValueError):
    """One cell that cannot be read, said in words."""


def read_day(said: str, month_first: bool) -> date:
    """Read a day.

    Parameters
    ----------
    said : Such as 3/3/2026, 3.3.26, 2026-03-03, Tue 3rd March 2026.
    month_first : Which of two numbers is the month.

    Returns
    -------
    The day.

    Raises
    ------
    UnreadCell : If it is none.
    """
    plain = MIDNIGHT.sub("", BEGINNINGS.sub("", said))
    numbers = NUMBERS.fullmatch(plain)
    try:
        if numbers:
            one, two, year = (int(part) for part in numbers.groups())
            year += CENTURY if year < SHORT else 0
            return date(year, one, two) if month_first else date(year, two, one)
        return _written_day(plain)
    except ValueError:
        raise UnreadCell(f"'{said[:20]}' is no date") from None


@lru_cache(maxsize=2048)  # days alone: what is none is not remembered
def _written_day(plain: str) -> date:
    if plain[:4].isdigit():
        return date.fromisoformat(plain.replace("/", "-"))
    bare = ORDINAL.sub("", plain).replace(",", "").replace("-", " ")
    for form in WORDED:
        try:
            return datetime.strptime(bare, form).date()  # noqa: DTZ007  a day
        except ValueError:
            continue
    raise ValueError


@lru_cache(maxsize=2048)  # times of day alone: what is none is not remembered
def read_time(said: str) -> time:
    """Read a time of day.

    Parameters
    ----------
    said : Such as 9:30, 09.30, 0930, 9h30, 9:30 pm, 9 a.m.

    Returns
    -------
    The time.

    Raises
    ------
    UnreadCell : If it is none.
    """
    plain = HALF_OF_DAY.sub(r"\1\2M", said.strip().upper())
    if FIGURES.fullmatch(plain):
        plain = f"{plain[:-2]}:{plain[-2:]}"
    for form in TIMES:
        try:
            return datetime.strptime(plain, form).time()  # noqa: DTZ007  a time of day, no moment
        except ValueError:
            continue
    raise UnreadCell(f"'{said[:20]}' is no time of day")


def read_length(said: str) -> timedelta:
    """Read how long something lasts.

    Parameters
    ----------
    said : Minutes (90, 90 min), or hours and minutes (1 h 30 m, 1:30).

    Returns
    -------
    Its length, none for what is no length.
    """
    found = CLOCKED.fullmatch(said) or HOURS_AND_MINUTES.fullmatch(said)
    hours, minutes = (int(part or 0) for part in found.groups()) if found else (0, 0)
    return timedelta(hours=hours, minutes=minutes)
