"""Who a visitor is and where they belong: asked with every request."""

from collections.abc import Sequence

from sqlalchemy import bindparam, select

from trainer.store import diaries
from trainer.store.people import MEMBERSHIPS, PERSONS, PLACES
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit

VISITING = (
    select(
        PERSONS.c.name,
        PERSONS.c.visit,
        PERSONS.c.spelling,
        PLACES.c.id,
        PLACES.c.name.label("place"),
        PLACES.c.kind,
        PLACES.c.spelling.label("house_spelling"),
        diaries.TABLE.c.zone,
        MEMBERSHIPS.c.roles,
    )
    .outerjoin(
        MEMBERSHIPS,
        (MEMBERSHIPS.c.person_id == PERSONS.c.id) & MEMBERSHIPS.c.ended_at.is_(None),
    )
    .outerjoin(PLACES, PLACES.c.id == MEMBERSHIPS.c.organisation_id)
    .outerjoin(diaries.TABLE, diaries.TABLE.c.organisation_id == PLACES.c.id)
    .where(PERSONS.c.id == bindparam("person"), PERSONS.c.disabled_at.is_(None))
    .order_by(PLACES.c.name)
)
"""Built once."""


def visiting(unit: Unit, person_id: str) -> Sequence[Found]:
    """By name of the place: name, visit, spelling, id, place, kind, house_spelling, zone, roles.

    One row with an empty id where they belong nowhere; none for whom nobody knows or let in. `zone`
    is None where the place named none.
    """
    return connection(unit).execute(VISITING, {"person": person_id}).all()
