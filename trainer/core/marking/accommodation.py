"""What is made easier for one person in an assessment: time, pauses, type. Never the questions."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from trainer.core.problems import InputProblem

MOST_PERCENT, MOST_PAUSES, MOST_PAUSE_MINUTES = 100, 6, 30
WHOLE_PERCENT = 100


@dataclass(frozen=True, slots=True)
class Accommodation:
    """`extra_percent`: more time, in percent of the usual. `pauses` of `pause_minutes` each.

    `larger_type`: everything in the sitting is written larger.
    """

    extra_percent: int = 0
    pauses: int = 0
    pause_minutes: int = 0
    larger_type: bool = False

    def minutes(self, usual: int) -> int:
        """Minutes that a sitting of `usual` minutes lasts."""
        return usual + usual * self.extra_percent // WHOLE_PERCENT


NONE_NEEDED = Accommodation()


@dataclass(frozen=True, slots=True)
class SittingClock:
    """The clock of a sitting as it is kept: when it closes, and what is known of its pauses.

    `paused_at`: since when it stands still; None while it runs. A pause ends by itself after
    `pause_minutes`.
    """

    closes_at: datetime
    pauses: int = 0
    pause_minutes: int = 0
    taken: int = 0
    paused_at: datetime | None = None

    @property
    def pauses_left(self) -> int:
        """Pauses that may still be taken."""
        return max(0, self.pauses - self.taken)

    @property
    def goes_on_at(self) -> datetime | None:
        """When a pause ends by itself; None while the clock runs."""
        if self.paused_at is None:
            return None
        return self.paused_at + timedelta(minutes=self.pause_minutes)

    def stands_still(self, now: datetime) -> bool:
        """Whether it is paused at a moment."""
        return self.goes_on_at is not None and now < self.goes_on_at

    def end(self, now: datetime) -> datetime:
        """When the time is over, seen from `now`: a pause moves it by as long as it has lasted."""
        if self.paused_at is None or self.goes_on_at is None:
            return self.closes_at
        return self.closes_at + (min(now, self.goes_on_at) - self.paused_at)

    def seconds_left(self, now: datetime) -> int:
        """Whole seconds left, 0 or more; the same all through a pause."""
        return max(0, int((self.end(now) - now).total_seconds()))


def checked(asked: Accommodation) -> Accommodation:
    """The same, if it can be granted. Pauses without length, or the other way, are none.

    Raises InputProblem naming the field.
    """
    for value, most, field, name in (
        (asked.extra_percent, MOST_PERCENT, "extra_percent", "extra time in percent"),
        (asked.pauses, MOST_PAUSES, "pauses", "the number of pauses"),
        (asked.pause_minutes, MOST_PAUSE_MINUTES, "pause_minutes", "the length of a pause"),
    ):
        if not 0 <= value <= most:
            raise InputProblem(f"{name} cannot be {value}", field, f"Give 0 to {most}.")
    if asked.pauses and asked.pause_minutes:
        return asked
    return Accommodation(asked.extra_percent, 0, 0, asked.larger_type)
