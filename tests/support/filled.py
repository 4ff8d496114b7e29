"""A row in every table for one person, made from the tables alone: a new table gets one too."""

import json
from datetime import date

from sqlalchemy import JSON, Boolean, Date, DateTime, Float, Integer, String, insert

from tests.support.people import NOW, NUMBERS, Someone
from trainer.store.base import ID_LENGTH, Base, new_id
from trainer.store.personal import HELD, every_table

MADE_ELSEWHERE = {"persons", "organisations", "memberships", "events", "event_bodies", "erasures"}


class Filled:
    """Rows about `someone`, whose every text says `words`; what was done, was done by `other`."""

    def __init__(self, unit, someone: Someone, other: Someone, words: str, first: bool) -> None:
        self._unit, self._someone, self._other = unit, someone, other
        self._words, self.rows = words, dict[str, dict]()
        for name, table in every_table().items():
            if name in MADE_ELSEWHERE or (_one_a_house(table) and not first):
                continue
            row = {column.name: self._value(name, column) for column in table.columns}
            unit.session.execute(insert(table).values(**row))
            self.rows[name] = row

    def _value(self, table, column):
        held = HELD.get(table)
        if held is not None and column.name in held.by:
            return self._other.id
        for key in column.foreign_keys:
            return self._pointed(key.column)
        if table == "offers" and column.name == "email":
            return self._someone.email
        if table == "records" and column.name == "document":
            return json.dumps({"id": "urn:x", "credentialSubject": {"name": self._words}})
        if isinstance(column.type, JSON):
            return self._json(table)
        text = isinstance(column.type, String)
        return None if column.nullable and not text else self._plain(table, column)

    def _pointed(self, to):
        if to.table.name == "persons":
            return self._someone.id
        if to.table.name == "organisations":
            return self._someone.organisation
        return self.rows[to.table.name][to.name]

    def _json(self, table):
        if table == "outgoing_statements":
            return {"actor": {"account": {"name": self._someone.id}}, "object": self._words}
        return {"said": self._says(table)}

    def _plain(self, table, column):
        for kind, value in (
            (Boolean, True),
            (Integer, next(NUMBERS)),
            (Float, 0.5),
            (DateTime, NOW),
            (Date, date(2026, 3, 3)),
        ):
            if isinstance(getattr(column.type, "impl", column.type), kind):
                return value
        if getattr(column.type, "length", None) == ID_LENGTH:
            return new_id()
        return f"{self._says(table)} {table}.{column.name}"

    def _says(self, table):
        """Only what is about a person may name them."""
        held = HELD.get(table)
        someone = self._someone.email.partition("@")[0]
        return self._words if held is not None and held.about else f"of {someone}"


def _one_a_house(table) -> bool:
    """Whether the organisation is the key, so that only the first to be filled in gets a row."""
    keys = {column.name for column in table.primary_key.columns}
    return "organisation_id" in keys and "person_id" not in keys


def everything_said(unit) -> list[tuple[str, str, str]]:
    """Every value of the whole database as text: table, column, value."""
    return [
        (name, column, str(value))
        for name, table in Base.metadata.tables.items()
        for row in unit.session.execute(table.select()).mappings()
        for column, value in row.items()
    ]
