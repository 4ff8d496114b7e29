"""Which organisation a person came to first: it made their account."""

from collections.abc import Collection

from sqlalchemy import select

from trainer.store.people import MEMBERSHIPS, portions
from trainer.store.unit import Unit

HERE, THERE = MEMBERSHIPS.alias("here"), MEMBERSHIPS.alias("there")


def came_before(unit: Unit, person_ids: Collection[str]) -> frozenset[str]:
    """The ids of those who belonged to another organisation before they came to the viewer's."""
    place = unit.viewer.organisation_id
    ours = (HERE.c.person_id == THERE.c.person_id) & (HERE.c.organisation_id == place)
    earlier = (
        select(THERE.c.person_id)
        .join(HERE, ours, isouter=True)
        .where(THERE.c.organisation_id != place)
        .where(HERE.c.since.is_(None) | (THERE.c.since < HERE.c.since))
    )
    found: set[str] = set()
    for some in portions(sorted(person_ids)):
        found |= set(unit.session.scalars(earlier.where(THERE.c.person_id.in_(some))))
    return frozenset(found)
