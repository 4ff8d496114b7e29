"""How ability moves in practice: as the calibration in use found it, else as is judged."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np

from trainer.core.items.codec import from_kept
from trainer.core.measurement import growth
from trainer.core.measurement.calibration.recalibrate import Answer, Calibration
from trainer.core.measurement.growth import Growth, Practised, estimate_growth, rows_of
from trainer.store import calibrations
from trainer.store.unit import Unit
from trainer.use_cases.know_difficulty import answer_of

DAY = 86400.0
PEOPLE, LEAST, STEPS = 400, 40, 60
"""From so many people at most, so many at least, and the first answers of each."""
FEW = 8
"""Fewer answers than this show nobody's growth."""


@dataclass(frozen=True, slots=True)
class InPractice:
    """Growth of the ability on a whole method, and on one topic, with each answer there."""

    whole: Growth = growth.JUDGED
    topic: Growth = growth.JUDGED


JUDGED = InPractice()
"""Before anything was found out."""


@dataclass(frozen=True, slots=True)
class Step:
    """One practice answer of somebody: on what, when, and as a calibration reads it."""

    person_id: str
    method: str
    topic: str
    at: datetime
    answer: Answer


def in_use(unit: Unit) -> InPractice:
    """What practice goes by now."""
    found = calibrations.summary_in_use(unit).get("growth")
    return InPractice(*(Growth(**found[one]) for one in ("whole", "topic"))) if found else JUDGED


def gather(unit: Unit) -> list[Step]:
    """Every practice answer of every organisation, oldest first."""
    return [_step(row) for row in calibrations.practice_responses(unit)]


def reckon(steps: Sequence[Step], calibration: Calibration) -> InPractice:
    """The growth that predicts these answers best, families as this calibration has them.

    Judged growth where too few people answered enough. Takes seconds: do it outside any unit.
    """
    whole: dict[tuple[str, ...], list[Step]] = {}
    topic: dict[tuple[str, ...], list[Step]] = {}
    for one in steps:
        whole.setdefault((one.person_id, one.method), []).append(one)
        topic.setdefault((one.person_id, one.method, one.topic), []).append(one)
    return InPractice(_growth(whole, calibration), _growth(topic, calibration))


def _growth(rows: Mapping[tuple[str, ...], list[Step]], calibration: Calibration) -> Growth:
    long = [row[:STEPS] for row in rows.values() if len(row) >= FEW]
    if len({row[0].person_id for row in long}) < LEAST:
        return growth.JUDGED
    every = max(1, len(long) // PEOPLE)
    return estimate_growth(rows_of([_practised(row, calibration) for row in long[::every]]))


def _practised(row: Sequence[Step], calibration: Calibration) -> list[Practised]:
    days = np.diff([one.at.timestamp() for one in row], prepend=row[0].at.timestamp()) / DAY
    return [
        Practised(
            said.right,
            calibration.difficulty(said.family, said.level, said.features, said.floor),
            float(since),
        )
        for said, since in zip((one.answer for one in row), days, strict=True)
    ]


def _step(row: Any) -> Step:
    item = from_kept(row.kept)
    heading = item.heading
    said = answer_of(row, item, row.right)
    return Step(row.person_id, heading.method, heading.topic, row.at, said)
