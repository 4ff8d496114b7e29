"""One form after the other for the sittings of a blueprint: alike in content and information.

A bank may hold too few families for a form without repeats. A family then stands in it as often
as it must and no oftener, each time with another item.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

import numpy as np

from trainer.core.draw import Draw
from trainer.core.measurement.programme import Row, Solution, row_of, solve
from trainer.core.measurement.requirement import Candidate, Demands, enemy_rows, requirements
from trainer.core.measurement.response_model import Floats
from trainer.core.measurement.shortfalls import Limits, shortfalls

NEAR = 0.024
"""A form's information lies within this share of the aim; two forms are within 5 %."""
OWN, WORN, OFF = 1.0, 10.0, 1000.0
"""What it costs, beside the share of the last forms that used a family: that this person had it
lately; that it is over its limit; the whole aim missed."""
MOST_TIMES = 4
NODES = 5_000


@dataclass(frozen=True, slots=True)
class Used:
    """How often families were used lately: `share` of the last forms, 0..1; `own`: this person."""

    share: float = 0.0
    own: bool = False


UNUSED = Used()


@dataclass(frozen=True, slots=True)
class Room:
    """What the forms of a blueprint are chosen from: the pool, each family as often as it may.

    `topics`: items wanted of each. `columns`: a place of the pool for each column, first uses
    before second ones. `repeats`: fewest repeats there must be. `unmet`: in words, what the pool
    cannot give.
    """

    pool: tuple[Candidate, ...]
    topics: Mapping[str, int]
    columns: tuple[int, ...]
    rows: tuple[Row, ...]
    repeats: int = 0
    unmet: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Aim:
    """The room with information (pool,) at the cut, and the sum that each form aims at."""

    room: Room
    information: Floats
    target: float


@dataclass(frozen=True, slots=True)
class SittingForm:
    """Family ids in the order of the form, and its information at the cut."""

    families: tuple[str, ...]
    information: float


def room_for(pool: Sequence[Candidate], demands: Demands) -> Room:
    """Find how often families must repeat for a form to be there at all, or what stands against it.

    Repeats are allowed up to four times, or as often as a topic's count asks.
    """
    there = {topic: sum(one.topic == topic for one in pool) for topic in demands.topics}
    least = max(
        (ceil(n / there[topic]) for topic, n in demands.topics.items() if there[topic]), default=1
    )
    for times in range(least, max(least, MOST_TIMES) + 1):
        room = _repeated(pool, demands, times)
        again = _again(room)
        found = solve(-again, room.rows)
        if found:
            repeats = round(-found.worth)
            rows = (*room.rows, row_of(again, most=repeats)) if times > 1 else room.rows
            return replace(room, rows=rows, repeats=repeats)
    return replace(room, unmet=_unmet(pool, demands, times))


def aim_of(room: Room, information: Floats) -> Aim:
    """The information that every form of the room aims at.

    Half-way between what a form drawn blindly has and the most that one can have: the very best
    families would always make the same form. Raises ValueError for a room without forms,
    information (pool,) of another shape, or not above 0.
    """
    if room.unmet or information.shape != (len(room.pool),) or not (information > 0).all():
        raise ValueError(f"{room.unmet=}, {information.shape=}, or {information.min()=}")
    worth = information[list(room.columns)]
    most, least = (_sure(solve(sign * worth, room.rows)).worth * sign for sign in (1, -1))
    return Aim(room, information, max(least, (most + _blindly(room, information)) / 2))


def draw_form(aim: Aim, used: Sequence[Used], lately_most: float | None, draw: Draw) -> SittingForm:
    """Draw a form near the aim, of families used least; chance settles the rest.

    `used`: (pool,). A family in more than the share `lately_most` of the last forms comes only
    where the form cannot be made without it. The same draw and use give the same form.

    References
    ----------
    van der Linden 2005, Linear Models for Optimal Test Design, ch. 5 and 8 (absolute targets,
    parallel forms one after the other).
    """
    room, columns = aim.room, list(aim.room.columns)
    chance = draw.branch("families")
    cost = np.array([_cost(one, lately_most) + chance.fraction() for one in used])[columns]
    worth = np.append(-cost, -OFF / aim.target)
    amounts = aim.information[columns]
    near = [
        row_of(np.append(amounts, 1.0), least=aim.target * (1 - NEAR)),
        row_of(np.append(amounts, -1.0), most=aim.target * (1 + NEAR)),
    ]
    most = np.append(np.ones(len(columns)), aim.target)
    found = _sure(solve(worth, [*room.rows, *near], most=most, free=1, nodes=NODES))
    taken = [columns[one] for one in np.flatnonzero(found.x[:-1])]
    order = draw.branch("order").shuffled(taken)
    return SittingForm(
        tuple(room.pool[one].id for one in order), float(aim.information[taken].sum())
    )


def _repeated(pool: Sequence[Candidate], demands: Demands, times: int) -> Room:
    """Every family `times` times, a second use only after the first."""
    size = len(pool)
    columns = tuple(place for _ in range(times) for place in range(size))
    asked = requirements([pool[place] for place in columns], demands)
    after = [
        Row(np.array([column, column - size]), np.array([1.0, -1.0]), -np.inf, 0.0)
        for column in range(size, size * times)
    ]
    enemies = [row for _, row in enemy_rows(pool)]
    return Room(
        tuple(pool), demands.topics, columns, (*(one.row for one in asked), *enemies, *after)
    )


def _blindly(room: Room, information: Floats) -> float:
    """The information of a form whose families are drawn blindly within their topics."""
    topics = np.array([one.topic for one in room.pool])
    return sum(
        float(information[topics == topic].mean()) * count
        for topic, count in room.topics.items()
        if count
    )


def _again(room: Room) -> Floats:
    """0 for the first use of a family, 1 for the second, and so on."""
    return np.array([float(column // len(room.pool)) for column in range(len(room.columns))])


def _unmet(pool: Sequence[Candidate], demands: Demands, times: int) -> tuple[str, ...]:
    repeated = [one for _ in range(times) for one in pool]
    asked = tuple(requirements(repeated, demands))
    enemies = tuple(enemy_rows(pool))
    return shortfalls(Limits(asked, enemies, len(repeated), demands.items), 1)


def _cost(used: Used, most: float | None) -> float:
    worn = most is not None and used.share > most
    return used.share + OWN * used.own + WORN * worn


def _sure(found: Solution | None) -> Solution:
    if found is None:
        raise ValueError("a room with forms gave none")
    return found
