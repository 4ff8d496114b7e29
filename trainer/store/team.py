"""Who works or trains in the viewer's organisation: by id, by letters, a page at a time."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import ColumnElement, Select, String, bindparam, cast, exists, func, or_, select

from trainer.store import competencies, standings
from trainer.store.people import MEMBERSHIPS, PERSONS
from trainer.store.statements import Found, connection
from trainer.store.unit import Unit

HERE = (MEMBERSHIPS.c.person_id == PERSONS.c.id) & MEMBERSHIPS.c.ended_at.is_(None)
WORKS = cast(MEMBERSHIPS.c.roles, String).like('%"apprentice"%')
AMONG = (
    select(PERSONS.c.id, PERSONS.c.name)
    .join(MEMBERSHIPS, HERE)
    .where(
        MEMBERSHIPS.c.organisation_id == bindparam("place"),
        PERSONS.c.id.in_(bindparam("people", expanding=True)),
    )
)
"""Built once: the desk asks it with every answer."""
STAFF = (
    select(PERSONS.c.id, PERSONS.c.name)
    .join(MEMBERSHIPS, HERE)
    .where(MEMBERSHIPS.c.organisation_id == bindparam("place"), WORKS)
)
IN_ORDER = STAFF.order_by(PERSONS.c.name, PERSONS.c.id)
STANDINGS, KNOWN = standings.TABLE, competencies.TABLE


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


def names(unit: Unit, person_ids: Collection[str]) -> dict[str, str]:
    """Id -> name of those who belong to the viewer's organisation; nobody else is in it."""
    asked = {"place": unit.viewer.organisation_id, "people": list(person_ids)}
    return {row.id: row.name for row in connection(unit).execute(AMONG, asked)}


def staff(unit: Unit) -> Sequence[Found]:
    """Everyone who works or trains there, by name: id, name."""
    return connection(unit).execute(IN_ORDER, {"place": unit.viewer.organisation_id}).all()


def size(unit: Unit) -> int:
    """How many work or train there."""
    counted = select(func.count()).select_from(STAFF.subquery())
    return connection(unit).scalar(counted, {"place": unit.viewer.organisation_id}) or 0


def page(unit: Unit, wanted: Wanted, after: tuple[str, str] | None, count: int) -> Sequence[Found]:
    """Those wanted, by name and id from a place in that order on: id, name."""
    chosen = _wanted(IN_ORDER, wanted)
    if after is not None:
        name, person_id = after
        chosen = chosen.where(
            (PERSONS.c.name > name) | ((PERSONS.c.name == name) & (PERSONS.c.id > person_id))
        )
    here = {"place": unit.viewer.organisation_id}
    return connection(unit).execute(chosen.limit(count), here).all()


def by_id(unit: Unit, after: str, count: int) -> Sequence[Found]:
    """Some of them by id, from behind an id on: id, name."""
    chosen = STAFF.where(PERSONS.c.id > after).order_by(PERSONS.c.id).limit(count)
    return connection(unit).execute(chosen, {"place": unit.viewer.organisation_id}).all()


def competent(unit: Unit, method: str, service: str, on: date, count: int) -> Sequence[Found]:
    """The first by name whose record for method and service is in force on a day: id, name."""
    wanted = Wanted(on, method=method, service=service, word="competent")
    return page(unit, wanted, None, count)


def _wanted(chosen: Select, wanted: Wanted) -> Select:  # type: ignore[type-arg]
    if wanted.letters:
        chosen = chosen.where(_begins(wanted.letters))
    if wanted.word == "not_started":
        return chosen.where(~exists().where(*_about(wanted)), ~_practised(wanted))
    if wanted.word == "working_towards":
        towards = exists().where(*_about(wanted), STANDINGS.c.word == "working_towards")
        only_practised = _practised(wanted) & ~exists().where(*_about(wanted))
        return chosen.where(or_(towards, only_practised))
    conditions = _standing(wanted)
    return chosen.where(exists().where(*_about(wanted), *conditions)) if conditions else chosen


def _about(wanted: Wanted) -> list[ColumnElement[bool]]:
    found: list[ColumnElement[bool]] = [STANDINGS.c.person_id == PERSONS.c.id]
    if wanted.method:
        found.append(STANDINGS.c.method == wanted.method)
    if wanted.service:
        found.append(STANDINGS.c.service == wanted.service)
    return found


def _standing(wanted: Wanted) -> list[ColumnElement[bool]]:
    holds = (STANDINGS.c.word == "competent") & (STANDINGS.c.day >= wanted.today)
    found: list[ColumnElement[bool]] = []
    if wanted.word == "competent":
        found.append(holds)
    elif wanted.word == "expired":
        over = (STANDINGS.c.word == "competent") & (STANDINGS.c.day < wanted.today)
        found.append(or_(STANDINGS.c.word == "expired", over))
    elif wanted.word:
        found.append(STANDINGS.c.word == wanted.word)
    if wanted.ends_by is not None:
        found += [holds, STANDINGS.c.day <= wanted.ends_by]
    return found


def _practised(wanted: Wanted) -> ColumnElement[bool]:
    about = [
        KNOWN.c.person_id == PERSONS.c.id,
        KNOWN.c.topic == competencies.WHOLE,
        KNOWN.c.n > 0,
    ]
    if wanted.method:
        about.append(KNOWN.c.method == wanted.method)
    return exists().where(*about)


def _begins(letters: str) -> ColumnElement[bool]:
    """Whether a part of the name begins so. SQLite folds only A to Z, so case is tried out."""
    plain = letters.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
    tried = sorted({plain, plain.lower(), plain.upper(), plain.title()})
    return or_(
        *(
            PERSONS.c.name.ilike(f"{start}{one}%", escape="\\")
            for one in tried
            for start in ("", "% ", "%-", "%'")
        )
    )
