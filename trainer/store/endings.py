"""Which records end within a span of days: one person's, or those of a house."""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any, NamedTuple

from sqlalchemy import Select, bindparam, func, select, tuple_

from trainer.store.people import MEMBERSHIPS
from trainer.store.records import TABLE as RECORDS
from trainer.store.statements import Found, connection
from trainer.store.team import HERE, WORKS
from trainer.store.unit import Unit

LATER, STOPPED = RECORDS.alias("later"), RECORDS.alias("stopped")
PLACE_IN_ORDER = (RECORDS.c.valid_until, RECORDS.c.person_id, RECORDS.c.method)


def _of_the_same(other: Any) -> Any:
    mine = RECORDS.c
    return (other.c.person_id == mine.person_id) & (other.c.method == mine.method)


RENEWED = (
    select(LATER.c.id)
    .where(
        _of_the_same(LATER),
        LATER.c.state == "in_force",
        LATER.c.valid_until > RECORDS.c.valid_until,
    )
    .exists()
)
ENDED_OTHERWISE = (
    select(STOPPED.c.id)
    .where(
        _of_the_same(STOPPED),
        STOPPED.c.state.not_in(["in_force", "replaced"]),
        STOPPED.c.state_since >= RECORDS.c.issued_at,
    )
    .exists()
)
COUNTS = (
    select(*PLACE_IN_ORDER)
    .distinct()
    .where(
        RECORDS.c.state == "in_force",
        RECORDS.c.valid_until >= bindparam("first"),
        RECORDS.c.valid_until < bindparam("past"),
        RECORDS.c.method.in_(bindparam("methods", expanding=True)),
        ~RENEWED,
        ~ENDED_OTHERWISE,
    )
)
"""The record that counts of each person and method: in force, and lasting longest.

None of whom the last word is a suspension or a withdrawal.
"""
OF_PERSON = COUNTS.where(RECORDS.c.person_id == bindparam("person")).order_by(*PLACE_IN_ORDER)
OF_PLACE = COUNTS.join(MEMBERSHIPS, MEMBERSHIPS.c.person_id == RECORDS.c.person_id).where(
    HERE, WORKS
)


class Span(NamedTuple):
    """Records of these methods whose last moment is from `first` on, and before `past`."""

    methods: Collection[str]
    first: datetime
    past: datetime


class Counted(NamedTuple):
    """How many ended before a moment, how many end from then on, and when the first of these."""

    ended: int
    coming: int
    next_end: datetime | None


def of_person(unit: Unit, span: Span, person_id: str) -> Sequence[Found]:
    """A person's, first end first: valid_until, person_id, method."""
    return connection(unit).execute(OF_PERSON, _asked(span) | {"person": person_id}).all()


def of_place(
    unit: Unit, span: Span, after: tuple[datetime, str, str] | None, count: int
) -> Sequence[Found]:
    """Those of whoever works or trains in the viewer's organisation, first end first.

    From a place in that order on: valid_until, person_id, method, name.
    """
    chosen: Select[Any] = OF_PLACE.add_columns(MEMBERSHIPS.c.called.label("name"))
    if after is not None:
        chosen = chosen.where(tuple_(*PLACE_IN_ORDER) > tuple_(*after))
    chosen = chosen.order_by(*PLACE_IN_ORDER).limit(count)
    return connection(unit).execute(chosen, _here(unit, span)).all()


def count(unit: Unit, span: Span, now: datetime) -> Counted:
    """How many these are."""
    end = OF_PLACE.subquery().c.valid_until
    chosen = select(
        func.count().filter(end < now),
        func.count().filter(end >= now),
        func.min(end).filter(end >= now),
    )
    return Counted(*connection(unit).execute(chosen, _here(unit, span)).one())


def _asked(span: Span) -> dict[str, Any]:
    return {"methods": list(span.methods), "first": span.first, "past": span.past}


def _here(unit: Unit, span: Span) -> dict[str, Any]:
    return _asked(span) | {"place": unit.viewer.organisation_id}
