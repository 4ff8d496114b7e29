"""The next family of an adaptive test: most information, in the area that is due, none barred.

A table made once holds, for many stretches of ability, the families that can be best there and
the most that any other could give. A family of the table that beats that bound is the one that
going through all families would find; where none does, all are gone through.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trainer.core.measurement.ability import grid
from trainer.core.measurement.response_model import Floats, check

Flags = NDArray[np.bool_]
Places = NDArray[np.intp]
REACH, STEP = 4.0, 0.05
"""The table's stretches: between -4 and 4, each 0.05 wide, and one beyond either end."""
HELD = 48
"""Families held for each stretch and area."""
SAFE = 1 + 1e-9
NONE = -1


@dataclass(frozen=True, slots=True)
class Families:
    """What may be asked: (families,) each. `area`: 0, 1, ... `enemy_set`: a number, -1 for none.

    a > 0, b and floor as in `response_model.probability`.
    """

    a: Floats
    b: Floats
    floor: Floats
    area: Places
    enemy_set: Places

    def __post_init__(self) -> None:
        """Raises ValueError as `response_model.check`, for no families, or areas below 0."""
        shapes = {one.shape for one in (self.a, self.b, self.floor, self.area, self.enemy_set)}
        if len(shapes) > 1 or not len(self.a) or self.area.min() < 0:
            raise ValueError(f"{shapes=}, or an area below 0")
        check(self.a, self.b, self.floor)


@dataclass(frozen=True, slots=True)
class Table:
    """`held`: (stretches, areas, HELD) places, -1 where there are fewer; with their a, b, floor.

    `beyond`: (stretches, areas) the most information that a family not held can have there.
    `members`: the families of each area. `foes`: the families of each enemy set.
    """

    families: Families
    held: Places
    a: Floats
    b: Floats
    floor: Floats
    beyond: Floats
    members: tuple[Places, ...]
    foes: tuple[Places, ...]


def table_of(families: Families) -> Table:
    """Make the table; one pass over all families for each stretch of ability."""
    edges = np.arange(-REACH, REACH + STEP / 2, STEP)
    low, high = np.append(-np.inf, edges), np.append(edges, np.inf)
    members = _groups(families.area)
    held = np.full((len(low), len(members), HELD), NONE, dtype=np.intp)
    beyond = np.full((len(low), len(members)), -np.inf)
    root = (1 + np.sqrt(1 + 8 * families.floor)) / 2
    peak = families.b + np.log(root) / families.a
    for stretch, ends in enumerate(zip(low, high, strict=True)):
        best = _at(np.clip(peak, *ends), families.a, families.b, families.floor)
        for area, ours in enumerate(members):
            first, rest = _first(best[ours])
            held[stretch, area, : len(first)] = ours[first]
            beyond[stretch, area] = rest
    return Table(
        families,
        held,
        families.a[held],
        families.b[held],
        families.floor[held],
        beyond * SAFE,
        members,
        _groups(families.enemy_set),
    )


def next_family(table: Table, theta: float, barred: Flags, area: int) -> int | None:
    """The place of the family of an area with most information at theta; None if all are barred.

    `barred`: (families,) those that may not be asked. Of equals the first. Information as
    `response_model.information` (Birnbaum 1968; Lord 1980, ch. 5 and 10: choose the most).
    """
    at = int(_stretch(theta)), area
    held = table.held[at]
    worth = _at(theta, table.a[at], table.b[at], table.floor[at])
    worth[barred[held] | (held < 0)] = -np.inf
    best = int(worth.argmax())
    if worth[best] > table.beyond[at]:
        return int(held[best])
    return full_pass(table, theta, barred, area)


def full_pass(table: Table, theta: float, barred: Flags, area: int) -> int | None:
    """The same by going through every family of the area."""
    families, ours = table.families, table.members[area]
    worth = _at(theta, families.a[ours], families.b[ours], families.floor[ours])
    worth[barred[ours]] = -np.inf
    best = int(worth.argmax()) if len(ours) else NONE
    return int(ours[best]) if best >= 0 and worth[best] > -np.inf else None


def next_for_each(table: Table, theta: Floats, barred: Flags, area: Places) -> Places:
    """`next_family` for many people in step; -1 where all are barred.

    theta, area : (people,); barred : (people, families).
    """
    at = _stretch(theta), area
    held = table.held[at]
    worth = _at(theta[:, None], table.a[at], table.b[at], table.floor[at])
    people = np.arange(len(theta))
    worth[barred[people[:, None], held] | (held < 0)] = -np.inf
    best = worth.argmax(axis=1)
    out: Places = held[people, best]
    for one in np.flatnonzero(~(worth[people, best] > table.beyond[at])):
        found = full_pass(table, float(theta[one]), barred[one], int(area[one]))
        out[one] = NONE if found is None else found
    return out


def bar(table: Table, barred: Flags, place: int) -> None:
    """Bar a family that was asked, and its enemies, in place."""
    barred[place] = True
    enemies = table.families.enemy_set[place]
    if enemies >= 0:
        barred[table.foes[enemies]] = True


def over_exposed(uses: Floats, sittings: int, most: float) -> Flags:
    """Families in more than the share `most` of the last sittings: barred for the next.

    `uses`: (families,) sittings that used each. Reference: van der Linden & Veldkamp 2004,
    Journal of Educational and Behavioral Statistics 29 (eligibility), here without chance.
    """
    return np.asarray(uses > most * sittings)


def due_area(given: Floats, shares: Floats, left: Flags) -> Places:
    """The area farthest behind its share, of those with families left; the first of equals.

    given : (people, areas) items asked; shares : (areas,) adding up to 1; left : as given.
    Reference: Kingsbury & Zara 1989, Applied Measurement in Education 2.
    """
    asked = given.sum(axis=1, keepdims=True) + 1
    behind = np.where(left, shares * asked - given, -np.inf)
    return np.asarray(behind.argmax(axis=1))


def before_responses(people: int) -> Floats:
    """Log posterior of people before any response: (people, points) on `ability.grid`."""
    return np.tile(-(grid() ** 2) / 2, (people, 1))


def after_responses(
    log_posterior: Floats, families: Families, asked: Places, right: Flags
) -> tuple[Floats, Floats, Floats]:
    """Log posterior, mean and SD of ability after one more response of each person.

    log_posterior : (people, points) on `ability.grid`; asked, right : (people,). As `ability.eap`,
    one step at a time.
    """
    points = grid()
    slope, floor = families.a[asked, None], families.floor[asked, None]
    p = floor + (1 - floor) / (1 + np.exp(-slope * (points - families.b[asked, None])))
    after = log_posterior + np.log(np.where(right[:, None], p, 1 - p))
    after -= after.max(axis=1, keepdims=True)
    weight = np.exp(after)
    total = weight.sum(axis=1)
    mean = weight @ points / total
    return after, mean, np.sqrt(np.maximum(weight @ points**2 / total - mean**2, 0.0))


def _at(theta: Floats | float, a: Floats, b: Floats, floor: Floats) -> Floats:
    """Information; `response_model.information` without its checks."""
    odd = np.exp(a * (b - theta))
    return np.asarray(a * a * (1 - floor) * odd / ((1 + floor * odd) * (1 + odd) ** 2))


def _stretch(theta: Floats | float) -> Places:
    place = np.floor((np.asarray(theta) + REACH) / STEP).astype(np.intp) + 1
    return np.asarray(np.clip(place, 0, round(2 * REACH / STEP) + 1))


def _first(best: Floats) -> tuple[Places, float]:
    """Those of most worth in order of place, and the worth of the next after them."""
    if len(best) <= HELD:
        return np.arange(len(best)), -np.inf
    order = np.argpartition(-best, HELD)
    return np.sort(order[:HELD]), float(best[order[HELD]])


def _groups(numbers: Places) -> tuple[Places, ...]:
    """Places by number, from 0 on; below 0 counts nowhere."""
    order = np.argsort(numbers, kind="stable")
    marks = np.searchsorted(numbers[order], np.arange(int(numbers.max()) + 2))
    return tuple(order[a:b] for a, b in zip(marks[:-1], marks[1:], strict=True))
