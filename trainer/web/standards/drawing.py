"""Where the bars of the impact picture stand: numbers for the template's drawing."""

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.core.measurement.standard_setting.impact import Step

WIDTH, HEIGHT, GAP = 300, 100, 6


@dataclass(frozen=True, slots=True)
class Bar:
    """One cut tried: its bar in a drawing of 300 by 100, and what it says."""

    x: float
    width: float
    y: float
    height: float
    cut: int
    percent: int
    passing: int
    people: int
    here: bool


def drawn(steps: Sequence[Step], place: int) -> list[Bar]:
    """A bar for each cut tried; `place` is the panel's own."""
    wide = (WIDTH - GAP * (len(steps) - 1)) / len(steps)
    return [
        Bar(
            x=round(n * (wide + GAP), 1),
            width=round(wide, 1),
            y=round(HEIGHT * (1 - one.share), 1),
            height=round(HEIGHT * one.share, 1),
            cut=int(one.cut),
            percent=round(100 * one.share),
            passing=one.passing,
            people=one.people,
            here=n == place,
        )
        for n, one in enumerate(steps)
    ]
