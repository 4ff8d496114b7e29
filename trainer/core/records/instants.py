"""Times as records write them: a date and time with an offset; we issue UTC with Z."""

from datetime import UTC, date, datetime
from typing import Any


def read_instant(text: Any) -> datetime | None:
    """Read a time with an offset.

    Parameters
    ----------
    text : An RFC 3339 time as text, such as 2026-03-02T09:00:00Z.

    Returns
    -------
    The instant in UTC, or None when it cannot be read or has no offset.
    """
    if not isinstance(text, str):
        return None
    try:
        found = datetime.fromisoformat(text)
        return found.astimezone(UTC) if found.tzinfo is not None else None
    except (ValueError, OverflowError):
        return None


def write_instant(instant: datetime) -> str:
    """Write a time in UTC, to whole seconds, with Z.

    Parameters
    ----------
    instant : An aware datetime.

    Returns
    -------
    Text such as 2026-03-02T09:00:00Z.

    Raises
    ------
    ValueError : If the datetime has no offset.
    """
    if instant.tzinfo is None:
        raise ValueError(f"{instant=} has no offset")
    return instant.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def for_people(instant: date) -> str:
    """Write a day, or the day of an instant, as people read it.

    Parameters
    ----------
    instant : A date, or an aware datetime.

    Returns
    -------
    Text such as 2 March 2026.
    """
    return f"{instant.day} {instant.strftime('%B %Y')}"
