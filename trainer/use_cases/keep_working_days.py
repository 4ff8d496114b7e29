"""On which days of the week people work: ticks that the salon sets, and nothing more."""

from collections.abc import Mapping, Sequence
from datetime import date

from trainer.store import team, team_summaries, working_days
from trainer.store.unit import Unit
from trainer.use_cases.refusals import InputProblem, NotFound
from trainer.use_cases.roles import SETTERS

WEEK = range(7)
EVERY_DAY = (1 << len(WEEK)) - 1


def set_days(unit: Unit, ticks: Mapping[str, Sequence[int]]) -> None:
    """Person -> the days they work, 0 Monday .. 6 Sunday; all of them or none are kept.

    Raises Forbidden, NotFound for anybody of another house, InputProblem for no day of the week.
    """
    unit.viewer.must_be(*SETTERS)
    if len(team.names(unit, ticks)) < len(ticks):
        raise NotFound
    for person_id, days in ticks.items():
        if set(days) - set(WEEK):
            raise InputProblem("is no day of the week", "days", "Tick Monday to Sunday.")
        working_days.keep(unit, person_id, bits(days))
    team_summaries.forget(unit)


def bits(days: Sequence[int]) -> int:
    """Days as one number, a bit a day."""
    return sum(1 << day for day in set(days))


def days_of(number: int) -> tuple[int, ...]:
    """The days in such a number."""
    return tuple(day for day in WEEK if number >> day & 1)


def works(number: int | None, on: date) -> bool:
    """Whether somebody works on a day; whoever has no days set may."""
    return number is None or bool(number >> on.weekday() & 1)
