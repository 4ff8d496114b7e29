"""A day that does not end under a test: what is made at 23:59 is asked about on the same day."""

from datetime import timedelta

import pytest

from trainer import clock

SECOND = timedelta(seconds=1)


class OneDay:
    """Stands for `clock.now`: right, but for the last second of its day, which never ends.

    Even then it goes on, ever more slowly, so that what comes later is told to come later.
    """

    def __init__(self) -> None:
        self._right = clock.now
        midnight = clock.now().replace(hour=0, minute=0, second=0, microsecond=0)
        self._end = midnight + timedelta(days=1)

    def __call__(self):
        now = self._right()
        over = (now - self._end) / SECOND + 1
        return now if over < 0 else self._end - SECOND / (1 + over)


@pytest.fixture(autouse=True)
def one_day(monkeypatch):
    """For tests whose screens read the clock themselves."""
    monkeypatch.setattr(clock, "now", OneDay())
