"""Every row that is about one person, from every table: for that person alone."""

from collections.abc import Iterator, Mapping
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from sqlalchemy import Select, Table, and_, or_, select

from trainer import store
from trainer.store.base import Base
from trainer.store.unit import Unit

SUBJECT = "person_id"
LEFT_OUT: Mapping[str, str] = {
    "one_use_links": "secrets that would let their reader in",
    "roster_drafts": "a file about other people, gone once taken",
    "access_tokens": "keys of an organisation's programs",
    "accepted_issuers": "whose records an organisation trusts",
    "diaries": "where an organisation's bookings stand",
    "house_rules": "an organisation's rules",
    "modules": "an organisation's assignments",
    "panels": "an organisation's standard setting",
    "statement_targets": "where an organisation sends statements",
    "standards": "an organisation's standards",
}
"""Tables that name a person and are not about that person, with what they are."""
BESIDE: Mapping[str, tuple[str, str, str]] = {
    "sitting_items": ("sitting_id", "sittings", "id"),
    "sitting_decisions": ("sitting_id", "sittings", "id"),
    "consultations": ("item_id", "shown_items", "id"),
    "evidence_photos": ("observation_id", "observations", "id"),
    "shared_links": ("record_id", "records", "id"),
}
"""Table -> its column that names a row of a table about the person, that table, its column."""
STATEMENTS = "outgoing_statements"
"""Names its person inside the statement, by the id."""
RATED = {"panel_ratings": "rater_id"}
"""Tables about a person under another name."""
SECRET = frozenset({"password_hash", "token_hash", "token", "salt", "submission_id", "visit"})
"""Columns that are keys, not facts about anybody."""


def rows_about(unit: Unit, person_id: str) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """Each table with the rows about a person, oldest key first; tables without any as well."""
    for module in iter_modules(store.__path__):
        import_module(f"{store.__name__}.{module.name}")
    tables = Base.metadata.tables
    for name, table in sorted(tables.items()):
        chosen = _chosen(tables, table, person_id)
        if chosen is None or name in LEFT_OUT:
            continue
        ordered = chosen.order_by(*table.primary_key.columns)
        rows = unit.session.execute(ordered).mappings()
        yield name, [{k: v for k, v in row.items() if k not in SECRET} for row in rows]


def _chosen(tables: Mapping[str, Table], table: Table, person_id: str) -> Select[Any] | None:
    """The rows of a table that are about a person; None where none can be."""
    name = table.name
    if name == "persons":
        return select(table).where(table.c.id == person_id)
    if name == "event_bodies":
        events = tables["events"]
        return (
            select(table, events.c.kind)
            .join(events, events.c.number == table.c.number)
            .where(or_(table.c.person_id == person_id, _by_them_alone(table, person_id)))
        )
    if name == STATEMENTS:
        actor = table.c.statement[("actor", "account", "name")].as_string()
        return select(table).where(actor == person_id)
    if name in BESIDE:
        column, other, key = BESIDE[name]
        theirs = select(tables[other].c[key]).where(tables[other].c[SUBJECT] == person_id)
        return select(table).where(table.c[column].in_(theirs))
    about = RATED.get(name, SUBJECT)
    return select(table).where(table.c[about] == person_id) if about in table.c else None


def _by_them_alone(table: Table, person_id: str) -> Any:
    """What they did that is about nobody else."""
    return and_(table.c.actor_id == person_id, table.c.person_id == "")
