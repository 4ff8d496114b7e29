"""Who works or trains in the viewer's organisation: by id, by letters, a page at a time."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain, islice
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Select,
    String,
    bindparam,
    cast,
    exists,
    false,
    or_,
    select,
)

from trainer.store import competencies, outside_records, standings, working_days
from trainer.store.name_letters import Typed
from trainer.store.people import MEMBERSHIPS, PERSONS
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit

MEMBER = MEMBERSHIPS.c
HERE = (MEMBER.organisation_id == bindparam("place")) & MEMBER.ended_at.is_(None)
WORKS = cast(MEMBER.roles, String).like('%"apprentice"%')
AMONG = (
    select(PERSONS.c.id, PERSONS.c.name)
    .join(MEMBERSHIPS, MEMBER.person_id == PERSONS.c.id)
    .where(HERE, PERSONS.c.id.in_(bindparam("people", expanding=True)))
)
"""Built once: the desk asks it with every answer."""
STAFF = select(MEMBER.person_id.label("id"), MEMBER.called.label("name")).where(HERE, WORKS)
IN_ORDER = STAFF.order_by(MEMBER.called, MEMBER.person_id)
STANDINGS, KNOWN = standings.TABLE, competencies.TABLE
AT_A_TIME = 250
"""Rows that are fetched together."""
DAYS, OUTSIDE = working_days.TABLE, outside_records.TABLE


@dataclass(frozen=True)
class Wanted:
    """Which people a page of the team shows; '' and None ask nothing.

    `letters` begin a part of the name. `word` is a standing on `today`; `ends_by` the last day of a
    record in force. Standing and end are those of `method` and `service`, or of any.
    """

    today: date
    letters: str = ""
    method: str = ""
    service: str = ""
    word: str = ""
    ends_by: date | None = None

    @property
    def asks_standing(self) -> bool:
        """Whether names alone do not tell who is wanted."""
        return bool(self.word) or self.ends_by is not None


def names(unit: Unit, person_ids: Collection[str]) -> dict[str, str]:
    """Id -> name of those who belong to the viewer's organisation; nobody else is in it."""
    asked = {"place": unit.viewer.organisation_id, "people": list(person_ids)}
    return {row.id: row.name for row in connection(unit).execute(AMONG, asked)}


def staff(unit: Unit) -> Sequence[Found]:
    """Everyone who works or trains there, by name: id, name."""
    return connection(unit).execute(IN_ORDER, {"place": unit.viewer.organisation_id}).all()


def called(unit: Unit, name: str) -> Sequence[tuple[str, str]]:
    """Those of one name: id, name."""
    chosen = STAFF.where(MEMBER.called == name)
    rows = connection(unit).execute(chosen, {"place": unit.viewer.organisation_id})
    return [(row.id, row.name) for row in rows]


def by_id(unit: Unit, after: str, count: int) -> Sequence[Found]:
    """Some of them by id, from behind an id on: id, name."""
    chosen = STAFF.where(MEMBER.person_id > after).order_by(MEMBER.person_id).limit(count)
    return connection(unit).execute(chosen, {"place": unit.viewer.organisation_id}).all()


def page(unit: Unit, wanted: Wanted, after: tuple[str, str] | None, count: int) -> Sequence[Found]:
    """Those wanted, by name and id from a place in that order on: id, name, elsewhere.

    `elsewhere`: a record from elsewhere is kept of them here. Where standing is asked, whoever has
    one is among them whatever they hold: summaries do not know it, so it has to be weighed.
    """
    elsewhere: ColumnElement[bool] = false()
    chosen = IN_ORDER
    if wanted.asks_standing:
        elsewhere = _has_from_elsewhere(wanted.method)
        chosen = chosen.where(or_(elsewhere, _fits(wanted)))
    found = chosen.add_columns(elsewhere.label("elsewhere"))
    return _next(unit, found, after, count, wanted.letters)


def likely(
    unit: Unit,
    method: str,
    service: str,
    on: date,
    after: tuple[str, str] | None,
    count: int,
) -> Sequence[Found]:
    """Whoever may turn out to be cleared and works on that day of the week, as `page`: id, name.

    Nobody is left out who has a record in force, a passed assessment or a record from elsewhere.
    """
    holds = (STANDINGS.c.word == "competent") & (STANDINGS.c.day >= on)
    begun = exists().where(*_about(method, service), or_(holds, STANDINGS.c.passed_on.is_not(None)))
    theirs = (DAYS.c.organisation_id == bindparam("place")) & (DAYS.c.person_id == MEMBER.person_id)
    away = exists().where(theirs, DAYS.c.days.bitwise_and(1 << on.weekday()) == 0)
    chosen = IN_ORDER.where(or_(begun, _has_from_elsewhere(method)), ~away)
    return _next(unit, chosen, after, count)


def _next(
    unit: Unit,
    chosen: Select[*tuple[Any, ...]],
    after: tuple[str, str] | None,
    count: int,
    letters: str = "",
) -> Sequence[Found]:
    if after is not None:
        name, person_id = after
        here = MEMBER.called
        chosen = chosen.where((here > name) | ((here == name) & (MEMBER.person_id > person_id)))
    place = {"place": unit.viewer.organisation_id}
    if not letters:
        return connection(unit).execute(chosen.limit(count), place).all()
    # How letters compare, databases differ in. Up to a whole house is gone through: many rows at a
    # time, their name by its place, is quicker.
    typed, some = Typed(letters), connection(unit).execute(chosen, place).partitions(AT_A_TIME)
    rows = chain.from_iterable(some)
    return list(islice((one for one in rows if typed.begin(one[1])), count))


def _has_from_elsewhere(method: str) -> ColumnElement[bool]:
    holders = select(OUTSIDE.c.person_id).where(OUTSIDE.c.organisation_id == bindparam("place"))
    if method:
        holders = holders.where(OUTSIDE.c.method == method)
    return MEMBER.person_id.in_(holders)


def _fits(wanted: Wanted) -> ColumnElement[bool]:
    """Whether a summary says what is wanted."""
    any_end = wanted.ends_by is None
    if wanted.word == "not_started" and any_end:
        begun = exists().where(*_about(wanted.method, wanted.service))
        return ~begun & ~exists().where(*_practised(wanted))
    about = _about(wanted.method, wanted.service, by_word=True)
    told = [exists().where(*about, *one) for one in _standings(wanted)]
    if wanted.word == "working_towards" and any_end:
        alike = (STANDINGS.c.person_id == MEMBER.person_id) & (STANDINGS.c.method == KNOWN.c.method)
        told.append(exists().where(*_practised(wanted), ~exists().where(alike)))
    return or_(false(), *told)


def _about(method: str, service: str, by_word: bool = False) -> list[ColumnElement[bool]]:
    """Of this person, and of a method and service if they are named.

    `by_word`: to be found by the index that begins with the word. SQLite would take the primary key
    for these three, and go to a row for everybody: so the service is no bare column.
    """
    found: list[ColumnElement[bool]] = [STANDINGS.c.person_id == MEMBER.person_id]
    if method:
        found.append(STANDINGS.c.method == method)
    if service:
        named = STANDINGS.c.service.concat("") if by_word else STANDINGS.c.service
        found.append(named == service)
    return found


def _standings(wanted: Wanted) -> list[list[ColumnElement[bool]]]:
    """Any of these; each begins with the word that the summary has."""
    word, day = STANDINGS.c.word, STANDINGS.c.day
    holds = [word == "competent", day >= wanted.today]
    if wanted.ends_by is not None:
        return [[*holds, day <= wanted.ends_by]] if wanted.word in ("", "competent") else []
    if wanted.word == "competent":
        return [holds]
    found = [[word == wanted.word]]
    return (
        [*found, [word == "competent", day < wanted.today]] if wanted.word == "expired" else found
    )


def _practised(wanted: Wanted) -> list[ColumnElement[bool]]:
    found: list[ColumnElement[bool]] = [
        KNOWN.c.person_id == MEMBER.person_id,
        KNOWN.c.topic == competencies.WHOLE,
        KNOWN.c.n > 0,
    ]
    if wanted.method:
        found.append(KNOWN.c.method == wanted.method)
    return found
