"""What is remembered of each family: read it, and bring it up to date with each answer."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from trainer.core.items.item import Heading
from trainer.core.measurement.forgetting import Memory, after_answer
from trainer.store import memories
from trainer.store.unit import Unit


def memory_of(row: Any) -> Memory | None:
    """What a row says; None where there was no answer before."""
    if row.strength_days is None:
        return None
    return Memory(row.strength_days, row.hardness, row.at, row.recalled)


def remembered(unit: Unit, families: Sequence[str] | None = None) -> Mapping[str, Memory]:
    """Family -> memory of the viewer: of some families, or of all."""
    who = unit.viewer.person_id
    rows = (
        memories.of_person(unit, who)
        if families is None
        else memories.of_families(unit, who, families)
    )
    found = ((row.family, memory_of(row)) for row in rows)
    return {family: memory for family, memory in found if memory}


def keep_memories(
    unit: Unit,
    answers: Sequence[tuple[Heading, bool]],
    before: Mapping[str, Memory],
    now: datetime,
) -> None:
    """Bring the viewer's memories up to date with answers, right or not, given now."""
    found, headings = dict(before), {}
    for heading, right in answers:
        found[heading.family] = after_answer(found.get(heading.family), right, now)
        headings[heading.family] = heading
    rows = [_row(unit, one, found[family]) for family, one in headings.items()]
    if rows:
        memories.keep(unit, rows)


def _row(unit: Unit, heading: Heading, memory: Memory) -> dict[str, Any]:
    return {
        "person_id": unit.viewer.person_id,
        "family": heading.family,
        "method": heading.method,
        "topic": heading.topic,
        "strength_days": memory.strength_days,
        "hardness": memory.hardness,
        "recalled": memory.recalled,
        "at": memory.at,
    }
