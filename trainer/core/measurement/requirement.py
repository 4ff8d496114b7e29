"""What a form must keep to, as limits on the families of a pool, each with a name for people."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from trainer.core.measurement.programme import Row, row_of
from trainer.core.measurement.response_model import Floats

Range = tuple[float, float]
NO_LIMIT: Range = (0.0, float("inf"))


@dataclass(frozen=True, slots=True)
class Candidate:
    """A family that a form may use.

    `enemies`: families that may not stand in the same form. `enemy_set`: of the families that
    name the same set, a form takes one at most ('' for none). `seconds`: what its items usually
    take. `words`: to read in one. `lately`: share of the last forms that used it, 0..1.
    """

    id: str
    topic: str
    critical: bool
    enemies: tuple[str, ...] = ()
    service: str = ""
    type: str = ""
    enemy_set: str = ""
    seconds: float = 0.0
    words: float = 0.0
    lately: float = 0.0


@dataclass(frozen=True, slots=True)
class Demands:
    """What one form must keep to.

    `topics`: topic -> items, exactly; a topic that is not named has none. `critical_least`:
    fewest critical items. `services`, `types`: name -> (least, most) items. `seconds_most`,
    `words_most`: for the whole form. `lately_most`: a family in a larger share of the last forms is
    left out.
    """

    topics: Mapping[str, int]
    critical_least: int = 0
    services: Mapping[str, Range] = field(default_factory=dict)
    types: Mapping[str, Range] = field(default_factory=dict)
    seconds_most: float | None = None
    words_most: float | None = None
    lately_most: float | None = None

    @property
    def items(self) -> int:
        """Items in a form."""
        return sum(self.topics.values())


@dataclass(frozen=True, slots=True)
class Requirement:
    """One limit on a form, with its name for people."""

    name: str
    row: Row
    unit: str = ""


def requirements(pool: Sequence[Candidate], demands: Demands) -> tuple[Requirement, ...]:
    """The limits that every form of the demands keeps, enemies aside (see `enemy_rows`)."""
    wanted = demands.topics
    out = [
        _of(words(topic), (one.topic == topic for one in pool), (count, count))
        for topic, count in wanted.items()
    ]
    others = [one.topic not in wanted for one in pool]
    if any(others):
        out.append(_of("other topics", others, (0, 0)))
    least = demands.critical_least
    if least:
        out.append(_of("critical", (one.critical for one in pool), (least, NO_LIMIT[1])))
    for name, limits in demands.services.items():
        out.append(_of(words(name), (one.service == name for one in pool), limits))
    for name, limits in demands.types.items():
        out.append(_of(words(name), (one.type == name for one in pool), limits))
    return (*out, *_loads(pool, demands))


def enemy_rows(pool: Sequence[Candidate]) -> list[tuple[str, Row]]:
    """Sets of which a form takes one family at most, each with its name."""
    place = {one.id: number for number, one in enumerate(pool)}
    pairs = {
        tuple(sorted((place[one.id], place[enemy])))
        for one in pool
        for enemy in one.enemies
        if enemy in place and enemy != one.id
    }
    found = [
        (" and ".join(pool[one].id for one in group), group) for group in _merged(sorted(pairs))
    ]
    sets: dict[str, list[int]] = {}
    for number, one in enumerate(pool):
        if one.enemy_set:
            sets.setdefault(one.enemy_set, []).append(number)
    found += [(f"set {name}", tuple(group)) for name, group in sets.items() if len(group) > 1]
    return [
        (f"enemies: {name}", Row(np.array(group), np.ones(len(group)), 0.0, 1.0))
        for name, group in found
    ]


def words(name: str) -> str:
    """A name of the vocabulary as people read it."""
    return name.replace("_", " ")


def _merged(pairs: Sequence[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Pairs, with those that form a full set together put into one (a tighter limit)."""
    known, left, out = set(pairs), dict.fromkeys(pairs), []
    while left:
        group = next(iter(left))
        for other in sorted({one for pair in known for one in pair} - set(group)):
            if all(tuple(sorted((one, other))) in known for one in group):
                group = tuple(sorted((*group, other)))
        for pair in combinations(group, 2):
            left.pop(pair, None)
        out.append(group)
    return out


def _of(name: str, members: Iterable[bool], limits: Range) -> Requirement:
    return Requirement(name, row_of(np.array(list(members), dtype=float), *limits))


def _loads(pool: Sequence[Candidate], demands: Demands) -> list[Requirement]:
    out = []
    if demands.seconds_most is not None:
        seconds = np.array([one.seconds for one in pool], dtype=float)
        out.append(Requirement("time", row_of(seconds, 0.0, demands.seconds_most), "seconds"))
    if demands.words_most is not None:
        to_read = np.array([one.words for one in pool], dtype=float)
        out.append(Requirement("reading", row_of(to_read, 0.0, demands.words_most), "words"))
    if demands.lately_most is not None:
        worn: Floats = np.array([one.lately > demands.lately_most for one in pool], dtype=float)
        out.append(Requirement("used often lately", row_of(worn, 0.0, 0.0)))
    return out
