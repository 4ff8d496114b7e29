"""Where a person stands in the tables: the one list for giving out and for erasing.

Every table is in `HELD` or in `NOBODY`; a test fails for one that is in neither.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Delete,
    ScalarSelect,
    Table,
    and_,
    delete,
    func,
    or_,
    select,
    tuple_,
    update,
)

from trainer import store
from trainer.store.base import Base
from trainer.store.unit import Unit


@dataclass(frozen=True, slots=True)
class Held:
    """How one table holds a person.

    `about`: the column that says whom a row is about (an offer: by their address), '' where none is
    about anybody. `of`: that column names a row of another table instead: (table, its key).
    `not_given`: why such rows are not in a person's own file. `stays`: why they outlive an erasure,
    then with the columns `blanked`; '' where they are deleted. `by`: columns that say who did
    something; they stay, and lead to a number once the name is gone.
    """

    about: str = "person_id"
    of: tuple[str, str] | None = None
    not_given: str = ""
    stays: str = ""
    blanked: Mapping[str, Any] | None = None
    by: tuple[str, ...] = ()


SITTING = ("sittings", "id")
HOUSE = ("memberships", "organisation_id")
HELD: Mapping[str, Held] = {
    "persons": Held("id", stays="a number in the place of a name", blanked={"spelling": ""}),
    "memberships": Held(),
    "group_members": Held(),
    "one_use_links": Held(not_given="secrets that would let their reader in"),
    "notices": Held(),
    "erasures": Held(
        stays="that it was done, when and by whom",
        blanked={"why": "", "ended_why": "", "pending": None},
        by=("entered_by", "decided_by", "ended_by", "done_by"),
    ),
    "shown_items": Held(),
    "responses": Held(),
    "consultations": Held("item_id", ("shown_items", "id")),
    "competencies": Held(),
    "memories": Held(),
    "wrong_ideas": Held(),
    "module_people": Held(),
    "module_progress": Held(),
    "top_up_people": Held(),
    "top_up_items": Held(),
    "admissions": Held(by=("decided_by",)),
    "scheme_agreements": Held(),
    "time_allowances": Held(by=("set_by",)),
    "sittings": Held(by=("opened_by",)),
    "sitting_items": Held("sitting_id", SITTING),
    "sitting_saves": Held(
        "sitting_id", SITTING, not_given="how an answer came to stand; it is in sitting_items"
    ),
    "sitting_decisions": Held("sitting_id", SITTING, by=("decided_by",)),
    "contests": Held(by=("answered_by",)),
    "appeals": Held(by=("taken_by", "answered_by")),
    "observations": Held(by=("observer_id",)),
    "evidence_photos": Held(
        "observation_id", ("observations", "id"), by=("added_by", "removed_by")
    ),
    "acceptances": Held(by=("asked_by", "decided_by")),
    "supervised_work": Held(by=("supervisor_id", "noted_by")),
    "standings": Held(),
    "records": Held(
        stays="whoever is shown one must be able to learn whether it still counts",
        blanked={"state_reason": ""},
    ),
    "shared_links": Held("record_id", ("records", "id")),
    "outside_records": Held(by=("added_by",)),
    "calendar_feeds": Held(),
    "working_days": Held(),
    "matching_rules": Held(by=("made_by",)),
    "outgoing_statements": Held("statement"),
    "roster_links": Held(),
    "offers": Held("email", by=("asked_by",)),
    "event_bodies": Held(by=("actor_id",)),
    "panel_ratings": Held("rater_id", stays="a standard in use rests on it"),
    "access_tokens": Held("made_by", not_given="keys of an organisation's programs"),
    "roster_drafts": Held(
        "organisation_id", HOUSE, not_given="a file about other people, gone once taken"
    ),
    "team_summaries": Held("organisation_id", HOUSE, not_given="counts of a whole house"),
    "accepted_issuers": Held(
        "", not_given="whose records an organisation trusts", by=("accepted_by", "ended_by")
    ),
    "diaries": Held("", not_given="where an organisation's bookings stand", by=("given_by",)),
    "house_rules": Held("", not_given="an organisation's rules", by=("set_by",)),
    "modules": Held("", not_given="an organisation's assignments", by=("created_by",)),
    "top_ups": Held("", not_given="an organisation's assignments", by=("offered_by",)),
    "panels": Held(
        "", not_given="an organisation's standard setting", by=("opened_by", "proposed_by")
    ),
    "standards": Held(
        "", not_given="an organisation's standards", by=("proposed_by", "adopted_by")
    ),
}
NOBODY = frozenset(
    {
        *("bank_uses", "calibrations", "events", "fact_changes", "family_difficulties"),
        *("groups", "module_groups"),
        *("organisations", "panel_items", "statement_targets", "status_entries", "week_findings"),
        "sign_in_failures",
    }
)
"""Tables without a person in them; what was tried at a sign-in is kept as a trace, for a day."""
PERSONS, BODIES, ROSTER, OFFERS = "persons", "event_bodies", "roster_links", "offers"
STATEMENTS = "outgoing_statements"
ACTOR = ("actor", "account", "name")
SECRET = frozenset({"password_hash", "token_hash", "token", "salt", "submission_id", "visit"})
"""Columns that are keys, not facts about anybody."""


def every_table() -> dict[str, Table]:
    """Every table by name; one that others lean on comes before them."""
    for module in iter_modules(store.__path__):
        import_module(f"{store.__name__}.{module.name}")
    return {table.name: table for table in Base.metadata.sorted_tables}


def rows_about(unit: Unit, person_id: str) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """Each table with the rows about a person, oldest key first; tables without any as well."""
    tables = every_table()
    for name, held in sorted(HELD.items()):
        if held.not_given:
            continue
        table = tables[name]
        chosen = select(table).where(_about(tables, table, person_id))
        if name == BODIES:
            chosen = _with_kind(tables, table, person_id)
        ordered = chosen.order_by(*table.primary_key.columns)
        rows = unit.session.execute(ordered).mappings()
        yield name, [{k: v for k, v in row.items() if k not in SECRET} for row in rows]


def count_about(unit: Unit, person_id: str) -> dict[str, int]:
    """How many rows of each table are about a person."""
    tables = every_table()
    counted = {
        name: select(func.count()).select_from(
            select(tables[name]).where(_about(tables, tables[name], person_id)).subquery()
        )
        for name, held in HELD.items()
        if held.about
    }
    return {name: unit.session.scalar(chosen) or 0 for name, chosen in counted.items()}


def entries_about(unit: Unit, person_id: str) -> list[int]:
    """The numbers of the log's events about a person."""
    table = every_table()[BODIES]
    return list(
        unit.session.scalars(
            select(table.c.number).where(table.c.person_id == person_id).order_by(table.c.number)
        )
    )


def erase_rows(unit: Unit, person_id: str) -> dict[str, int]:
    """Delete or blank every row about a person; gives how many of each table.

    Rows found through another table go first, then those that others lean on after these.
    What the log's events say is the log's to erase (`keep_log.erase`), and names are the caller's.
    """
    unit.flush()
    tables, done = every_table(), dict[str, int]()
    leaning = [name for name in reversed(tables) if name in HELD and HELD[name].about]
    for name in sorted(leaning, key=lambda one: HELD[one].of is None):
        held, table = HELD[name], tables[name]
        if name == BODIES:
            continue
        about = _about(tables, table, person_id)
        if not held.stays:
            done[name] = _changed(unit, delete(table).where(about))
        elif held.blanked:
            done[name] = _changed(unit, update(table).where(about).values(**held.blanked))
    unit.session.expire_all()
    return done


def _changed(unit: Unit, statement: Delete | Any) -> int:
    return unit.connection.execute(statement).rowcount


def _about(tables: Mapping[str, Table], table: Table, person_id: str) -> ColumnElement[bool]:
    """Whether a row is about a person."""
    held = HELD[table.name]
    if table.name == STATEMENTS:
        actor: ColumnElement[str] = table.c[held.about][ACTOR].as_string()
        return actor == person_id
    if table.name == ROSTER:
        return _in_rosters(table, _address(tables, person_id), person_id)
    if table.name == OFFERS:
        return table.c.email == _address(tables, person_id)
    if held.of:
        other, key = tables[held.of[0]], held.of[1]
        theirs = select(other.c[key]).where(other.c[HELD[other.name].about] == person_id)
        return table.c[held.about].in_(theirs)
    return table.c[held.about] == person_id


def _address(tables: Mapping[str, Table], person_id: str) -> ScalarSelect[str]:
    """Their e-mail address: by it alone stands whoever is only asked to join."""
    persons = tables[PERSONS]
    return select(persons.c.email).where(persons.c.id == person_id).scalar_subquery()


def _in_rosters(table: Table, email: ScalarSelect[str], person_id: str) -> ColumnElement[bool]:
    """A roster's line of them, and those of their roles and groups, which name that line."""
    line = table.alias()
    lines = select(line.c.organisation_id, line.c.source_id).where(
        or_(line.c.person_id == person_id, line.c.email == email)
    )
    return or_(
        table.c.person_id == person_id,
        table.c.email == email,
        and_(table.c.owner != "", tuple_(table.c.organisation_id, table.c.owner).in_(lines)),
    )


def _with_kind(tables: Mapping[str, Table], table: Table, person_id: str) -> Any:
    """The log's events about a person, or by them and about nobody else."""
    events = tables["events"]
    alone = and_(table.c.actor_id == person_id, table.c.person_id == "")
    return (
        select(table, events.c.kind)
        .join(events, events.c.number == table.c.number)
        .where(or_(table.c.person_id == person_id, alone))
    )
