"""The one list of where persons stand: whole, and what it says of each table is what happens."""

from tests.support.filled import Filled, everything_said
from tests.support.people import a_person
from trainer.store.base import ID_LENGTH
from trainer.store.personal import HELD, NOBODY, count_about, erase_rows, every_table
from trainer.store.rosters import RosterLinkRow

NAMES_PERSONS = ("_by", "person_id", "actor_id")
OF_A_RECORD = {"method", "services", "basis", "issuer", "state", "document"}
"""What stays of one; of its document the use case leaves only what speaks of nobody."""


def columns_with_a_person(table):
    """Those that point at a person, and those that by their name do without saying so."""
    for column in table.columns:
        points = any(key.column.table.name == "persons" for key in column.foreign_keys)
        named = column.name.endswith(NAMES_PERSONS) and column.type.length == ID_LENGTH
        if points or named:
            yield column.name


def test_every_table_is_in_the_list_or_holds_nobody():
    assert set(every_table()) == set(HELD) | NOBODY
    assert not set(HELD) & NOBODY
    for name in NOBODY:
        assert list(columns_with_a_person(every_table()[name])) == [], name


def test_every_column_with_a_person_has_its_say():
    """A new column of this kind belongs into `about` or `by`: else an erasure would miss it."""
    for name, held in HELD.items():
        found = set(columns_with_a_person(every_table()[name]))
        said = set(held.by) | ({held.about} if not held.of else set())
        if name == "roster_drafts":
            said.add("person_id")  # dropped with every draft of the house
        assert found <= said, name
        assert set(held.by) <= found, name


def test_what_is_erased_is_gone_and_nothing_of_anybody_else(work):
    ada = a_person(work, name="Ada Quill")
    bo = a_person(work, organisation=ada.organisation, name="Bo Ash")
    with work.writing(ada.viewer) as unit:
        filled = Filled(unit, ada, bo, "Ada Quill wrote", first=True)
        other = Filled(unit, bo, ada, "Bo Ash wrote", first=False)
        line = filled.rows["roster_links"]["source_id"]
        role = RosterLinkRow(
            organisation_id=ada.organisation,
            kind="role",
            source_id="role of Ada Quill",
            owner=line,
            said="student",
            is_open=True,
        )
        unit.session.add(role)
    with work.reading() as unit:
        counted = count_about(unit, ada.id)
        assert set(filled.rows) & set(HELD) <= {name for name in HELD if not HELD[name].about} | {
            name for name, count in counted.items() if count
        }
        before = {row for row in everything_said(unit) if "Bo Ash wrote" in row[2]}
    with work.writing() as unit:
        done = erase_rows(unit, ada.id)
    assert done["responses"] == 1 and done["roster_links"] == 2 and "panel_ratings" not in done
    with work.reading() as unit:
        after = everything_said(unit)
        assert before <= set(after) | {one for one in before if one[0] == "roster_drafts"}
        left = {one[:2] for one in after if "Ada Quill" in one[2]}
        assert left == {("persons", "name")} | {("records", name) for name in OF_A_RECORD}
        stays = {(name, HELD[name].about) for name in HELD if HELD[name].stays}
        by = {(name, column) for name, held in HELD.items() for column in held.by}
        by.add(("event_bodies", "person_id"))  # the log erases these, so that its chain holds
        assert {one[:2] for one in after if one[2] == ada.id} <= stays | by
        assert other.rows["observations"]["id"] in {one[2] for one in after}
