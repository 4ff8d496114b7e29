"""Sheets of the viewer's own work that they have not seen yet: told until they have."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from trainer.store import observations
from trainer.store.unit import Unit


@dataclass(frozen=True, slots=True)
class News:
    """Work of the viewer whose last sheet they have not seen. `met`: it is signed off.

    `sheets`: their ids, one or two.
    """

    sheets: tuple[str, ...]
    method: str
    service: str
    on: date
    met: bool


def unseen(unit: Unit) -> tuple[News, ...]:
    """What was signed since the viewer last looked, oldest first; of two observers, both have."""
    return tuple(
        News(one.sheets, one.first.method, one.first.service, one.first.observed_at.date(), one.met)
        for one in observations.unseen(unit)
        if not (one.waits or one.set_aside)
    )


def saw(unit: Unit, news: Iterable[News], now: datetime) -> None:
    """The viewer has looked at it."""
    for one in news:
        for sheet in one.sheets:
            row = observations.observation(unit, sheet)
            if row.person_id == unit.viewer.person_id:
                row.seen_at = row.seen_at or now
