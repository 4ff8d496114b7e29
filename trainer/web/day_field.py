"""A field for a day, which says in words what to write where it cannot be read."""

from typing import Any

from wtforms import DateField

FIRST, LAST = 2000, 2199
"""Years: what lies outside is a slip of the hand, and reckoning on from it leaves the calendar."""
NO_DAY = f"This is no day from {FIRST} to {LAST}. Write year-month-day, such as 2026-11-30."


class DayField(DateField):
    """A day between the first of `FIRST` and the last of `LAST`."""

    data: Any  # as in its base class

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read what was sent. Raises ValueError with the words for it."""
        try:
            super().process_formdata(valuelist)
        except ValueError:
            raise ValueError(NO_DAY) from None
        if self.data is not None and not FIRST <= self.data.year <= LAST:
            self.data = None
            raise ValueError(NO_DAY)
