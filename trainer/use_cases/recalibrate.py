"""Find out how hard each family is from what people answered; put a calibration into use.

A job or a command, never part of a request: reading, reckoning and writing are three units apart,
and nothing changes for anybody until the new calibration is adopted.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from trainer.core.items.codec import from_kept
from trainer.core.items.item import Item
from trainer.core.items.registry import type_of
from trainer.store import calibrations
from trainer.store.unit import Unit


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer as calibration sees it.

    `occasion`: one person, one method, one month: so long an ability is taken as steady, and of
    a family only the first answer in it counts, since its reason was read after that.
    `floor`: chance of a right guess, 0..1.
    """

    occasion: str
    family: str
    level: str
    right: bool
    features: dict[str, float]
    floor: float


def gather(unit: Unit) -> list[Answered]:
    """Every answer of every organisation that counts, sittings before practice.

    What was left open in a sitting counts as not right: there was time for it.
    """
    first: dict[tuple[str, str, str], Answered] = {}
    for one in _all(unit):
        first.setdefault((one.occasion, one.family, one.level), one)
    return list(first.values())


def _all(unit: Unit) -> Iterator[Answered]:
    for row in calibrations.sitting_responses(unit):
        item = from_kept(row.kept)
        right = row.answer is not None and type_of(item).mark(item, row.answer).right
        yield _answered(row, item, right)
    for row in calibrations.practice_responses(unit):
        yield _answered(row, from_kept(row.kept), row.right)


def _answered(row: Any, item: Item, right: bool) -> Answered:
    heading, at = item.heading, row.at
    return Answered(
        f"{row.person_id} {heading.method} {at:%Y-%m}",
        heading.family,
        heading.level,
        right,
        dict(item.features),
        type_of(item).chance(item),
    )
