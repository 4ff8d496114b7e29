"""People and groups in OneRoster 1.2 CSV sets: how its words become ours, and the way back.

Roles map once, in `ROLES`; screens show that table. A row to be deleted ends, nothing is deleted.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from trainer.core.exchange.csv_cells import csv_text
from trainer.core.exchange.oneroster_tables import (
    BULK,
    MANIFEST,
    Fault,
    Row,
    Tables,
    binding,
    in_order,
    read_tables,
)
from trainer.core.exchange.zip_files import zipped

USERS, ROLE_ROWS, ORGS = "users.csv", "roles.csv", "orgs.csv"
CLASSES, ENROLMENTS = "classes.csv", "enrollments.csv"
COURSES, SESSIONS = "courses.csv", "academicSessions.csv"
ROLES: Mapping[str, str] = {
    "student": "apprentice",
    "teacher": "instructor",
    "administrator": "administrator",
    "siteAdministrator": "administrator",
    "systemAdministrator": "administrator",
    "districtAdministrator": "administrator",
    "principal": "administrator",
    "ext:salon_manager": "salon_manager",
}
"""OneRoster's word -> our role. Its other words give no role here."""
GIVEN: Mapping[str, str] = {
    "apprentice": "student",
    "instructor": "teacher",
    "administrator": "administrator",
    "salon_manager": "ext:salon_manager",
}
NO_NAME = "-"
"""Stands for a family name where somebody has one name alone: the binding wants both."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody in a set. `open`: may sign in; False for disabled and to be deleted."""

    id: str
    name: str
    email: str
    open: bool
    line: int = 0


@dataclass(frozen=True, slots=True)
class Holding:
    """A role, or a place in a group, of a person. `of`: the role in our words, or the group's id.

    `on`: it holds today.
    """

    id: str
    person: str
    of: str
    on: bool


@dataclass(frozen=True, slots=True)
class Group:
    """A class of people."""

    id: str
    name: str
    on: bool = True


@dataclass(frozen=True, slots=True)
class Roster:
    """What a set says in our words. `bulk` names the tables that say all there is."""

    people: Sequence[Person]
    roles: Sequence[Holding]
    groups: Sequence[Group]
    places: Sequence[Holding]
    orgs: Sequence[str]
    bulk: frozenset[str]
    notes: Sequence[str]


def read_roster(
    content: bytes, today: date, known: Mapping[str, frozenset[str]] | None = None
) -> tuple[Roster | None, list[Fault]]:
    """Read a set as people, roles and groups.

    Parameters
    ----------
    content : The zip.
    today : Roles and places outside their dates do not hold.
    known : Table -> sourcedIds that an earlier set brought; see `read_tables`.

    Returns
    -------
    The roster, or None and everything that is wrong: by the binding, and by what we need besides
    (an address that mail can reach, dates that are days, one address a person).
    """
    tables, faults = read_tables(content, known)
    roster, more = _in_our_words(tables, today)
    faults = in_order([*faults, *more])
    return (None if faults else roster), faults


def _in_our_words(tables: Tables, today: date) -> tuple[Roster, list[Fault]]:
    faults: list[Fault] = []
    people = [_person(row, faults) for row in tables.of(USERS)]
    faults += _same_address(people)
    roles = [
        Holding(row.id, row.cells["userSourcedId"], ROLES[row.cells["role"]], on)
        for row, on in _holding(tables, ROLE_ROWS, today, faults)
        if row.cells["role"] in ROLES
    ]
    places = [
        Holding(row.id, row.cells["userSourcedId"], row.cells["classSourcedId"], on)
        for row, on in _holding(tables, ENROLMENTS, today, faults)
    ]
    groups = [
        Group(row.id, " ".join(row.cells["title"].split()), not row.gone)
        for row in tables.of(CLASSES)
    ]
    bulk = frozenset(name for name, way in tables.ways.items() if way == BULK)
    orgs = [row.id for row in tables.of(ORGS)]
    return Roster(people, roles, groups, places, orgs, bulk, _notes(tables)), faults


def _person(row: Row, faults: list[Fault]) -> Person:
    cells = row.cells
    given = cells["preferredGivenName"] or cells["givenName"]
    family = cells["preferredFamilyName"] or cells["familyName"]
    family = "" if family == NO_NAME else family
    email = (cells["email"] or cells["username"]).strip().casefold()
    if not row.gone and ("@" not in email or any(sign.isspace() for sign in email)):
        what = "gives no e-mail address, nor does username; people sign in with it"
        faults.append(Fault(USERS, row.line, "email", what))
    is_open = cells["enabledUser"] == "true" and not row.gone
    return Person(row.id, f"{given} {family}".strip(), email, is_open, row.line)


def _same_address(people: Sequence[Person]) -> list[Fault]:
    seen: dict[str, int] = {}
    faults = []
    for one in people:
        if one.open and one.email in seen:
            what = f"is that of line {seen[one.email]} too; an address is one person's"
            faults.append(Fault(USERS, one.line, "email", what))
        elif one.open:
            seen[one.email] = one.line
    return faults


def _holding(
    tables: Tables, name: str, today: date, faults: list[Fault]
) -> Iterator[tuple[Row, bool]]:
    """Rows that give something for a time, and whether they hold today."""
    for row in tables.of(name):
        ends: dict[str, date | None] = {}
        for column in ("beginDate", "endDate"):
            said = row.cells[column]
            try:
                ends[column] = date.fromisoformat(said) if said else None
            except ValueError:
                ends[column] = None
                faults.append(Fault(name, row.line, column, f"{said!r} is no day like 2026-03-24"))
        first, last = ends["beginDate"] or today, ends["endDate"] or today
        yield row, not row.gone and first <= today <= last


def _notes(tables: Tables) -> list[str]:
    """What of a set is left aside, in words."""
    words = sorted({row.cells["role"] for row in tables.of(ROLE_ROWS)} - set(ROLES))
    notes = [f"Role {word!r} gives no role here." for word in words]
    return notes + [f"{name} is not used here." for name in tables.passed_over]


# the way back


def compose_set(place: str, roster: Roster, today: date) -> bytes:
    """A bulk set of an organisation's people as a zip; the same roster gives the same bytes.

    Parameters
    ----------
    place : The organisation's name.
    roster : Its people; `orgs` holds its one sourcedId.
    today : The day, for the school year that the binding asks of classes.
    """
    (org,) = roster.orgs
    rows: dict[str, list[dict[str, str]]] = {
        ORGS: [{"sourcedId": org, "name": place, "type": "school"}],
        USERS: [_user_cells(one, org) for one in roster.people],
        ROLE_ROWS: list(_role_cells(roster, org)),
    }
    if roster.groups:
        rows |= _class_cells(roster, org, today)
    texts = {name: _written(name, some) for name, some in rows.items()}
    texts[MANIFEST] = csv_text(binding()["tables"][MANIFEST]["header"], _manifest_rows(rows))
    return zipped(dict(sorted(texts.items())))


def _manifest_rows(rows: Mapping[str, object]) -> list[tuple[str, str]]:
    given = [name for name in binding()["tables"] if name != MANIFEST]
    ways = [(f"file.{n.removesuffix('.csv')}", BULK if n in rows else "absent") for n in given]
    return [
        *binding()["manifest"].items(),
        *ways,
        ("source.systemName", "Trainer"),
        ("source.systemCode", "trainer"),
    ]


def _written(name: str, rows: Sequence[Mapping[str, str]]) -> str:
    header: list[str] = binding()["tables"][name]["header"]
    return csv_text(header, [[row.get(column, "") for column in header] for row in rows])


def _user_cells(one: Person, org: str) -> dict[str, str]:
    given, _, family = one.name.rpartition(" ")
    return {
        "sourcedId": one.id,
        "enabledUser": str(one.open).lower(),
        "username": one.email,
        "givenName": given or family,
        "familyName": family if given else NO_NAME,
        "email": one.email,
        "primaryOrgSourcedId": org,
    }


def _role_cells(roster: Roster, org: str) -> Iterator[dict[str, str]]:
    seen: set[str] = set()
    for one in roster.roles:
        yield {
            "sourcedId": one.id,
            "userSourcedId": one.person,
            "roleType": "secondary" if one.person in seen else "primary",
            "role": GIVEN[one.of],
            "orgSourcedId": org,
        }
        seen.add(one.person)


def _class_cells(roster: Roster, org: str, today: date) -> dict[str, list[dict[str, str]]]:
    """Groups as classes of one course in this year: the binding knows no group without."""
    roles = {one.person: "teacher" for one in roster.roles if one.of == "instructor"}
    year = str(today.year)
    return {
        COURSES: [{"sourcedId": "course", "title": "Training", "orgSourcedId": org}],
        SESSIONS: [
            {
                "sourcedId": f"year-{year}",
                "title": year,
                "type": "schoolYear",
                "startDate": f"{year}-01-01",
                "endDate": f"{year}-12-31",
                "schoolYear": year,
            }
        ],
        CLASSES: [
            {
                "sourcedId": one.id,
                "title": one.name,
                "courseSourcedId": "course",
                "classType": "scheduled",
                "schoolSourcedId": org,
                "termSourcedIds": f"year-{year}",
            }
            for one in roster.groups
        ],
        ENROLMENTS: [
            {
                "sourcedId": one.id,
                "classSourcedId": one.of,
                "schoolSourcedId": org,
                "userSourcedId": one.person,
                "role": roles.get(one.person, "student"),
            }
            for one in roster.places
        ],
    }
