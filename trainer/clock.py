"""The only reader of the clock."""

from datetime import UTC, date, datetime


def now() -> datetime:
    """This moment, in UTC."""
    return datetime.now(UTC)


def today() -> date:
    """This day, in UTC."""
    return now().date()
