"""Who works or trains in the viewer's organisation: by id, by letters, a page at a time."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import ColumnElement, String, bindparam, cast, exists, func, literal, or_, select

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
FIRST_LOOK = 400
GROWTH = 4
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
    """Those wanted, by name and id from a place in that order on: id, name.

    Where standing is asked, people are looked at some at a time, ever more of them: most often the
    first are enough, and to look at everybody before sorting would cost the same however few show.
    """
    if not _asks_standing(wanted):
        return _next(unit, wanted, after, count)
    found: list[Found] = []
    size = FIRST_LOOK
    while len(found) < count:
        looked_at = _next(unit, wanted, after, size)
        here = _fitting(unit, wanted, [one.id for one in looked_at])
        found += [one for one in looked_at if one.id in here]
        if len(looked_at) < size:
            break
        after, size = (looked_at[-1].name, looked_at[-1].id), size * GROWTH
    return found[:count]


def _next(unit: Unit, wanted: Wanted, after: tuple[str, str] | None, count: int) -> Sequence[Found]:
    chosen = IN_ORDER
    if wanted.letters:
        chosen = chosen.where(_begins(wanted.letters))
    if after is not None:
        name, person_id = after
        chosen = chosen.where(
            (PERSONS.c.name > name) | ((PERSONS.c.name == name) & (PERSONS.c.id > person_id))
        )
    here = {"place": unit.viewer.organisation_id}
    return connection(unit).execute(chosen.limit(count), here).all()


def competent(unit: Unit, method: str, service: str, on: date, count: int) -> Sequence[Found]:
    """The first by name whose record for method and service is in force on a day: id, name."""
    wanted = Wanted(on, method=method, service=service, word="competent")
    return page(unit, wanted, None, count)


def by_id(unit: Unit, after: str, count: int) -> Sequence[Found]:
    """Some of them by id, from behind an id on: id, name."""
    chosen = STAFF.where(PERSONS.c.id > after).order_by(PERSONS.c.id).limit(count)
    return connection(unit).execute(chosen, {"place": unit.viewer.organisation_id}).all()


def _asks_standing(wanted: Wanted) -> bool:
    return bool(wanted.word) or wanted.ends_by is not None


def _fitting(unit: Unit, wanted: Wanted, person_ids: Sequence[str]) -> Collection[str]:
    """Those of some people whose standing is as wanted."""
    chosen = select(PERSONS.c.id).where(PERSONS.c.id.in_(person_ids))
    if wanted.word == "not_started":
        chosen = chosen.where(~exists().where(*_about(wanted)), ~_practised(wanted))
    elif wanted.word == "working_towards":
        towards = exists().where(*_about(wanted), STANDINGS.c.word == "working_towards")
        only_practised = _practised(wanted) & ~exists().where(*_about(wanted))
        chosen = chosen.where(or_(towards, only_practised))
    else:
        chosen = chosen.where(exists().where(*_about(wanted), *_standing(wanted)))
    return frozenset(connection(unit).scalars(chosen))


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
    """Whether a part of the name begins so. SQLite folds only A to Z; else case is tried out."""
    plain = letters.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
    tried = {plain} if letters.isascii() else {plain, plain.lower(), plain.upper(), plain.title()}
    parts: ColumnElement[str] = literal(" ") + PERSONS.c.name
    for apart in ("-", "'", "’"):
        parts = func.replace(parts, apart, " ")
    return or_(*(parts.ilike(f"% {one}%", escape="\\") for one in sorted(tried)))
