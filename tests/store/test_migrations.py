"""The tables as migrated are the tables as declared, on both databases; each step goes back."""

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect

from tests.store.test_practice import response, shown
from tests.store.test_records import a_row
from tests.support.filled import Filled
from tests.support.people import NOW, a_person
from trainer.store import practice, records, standards, team
from trainer.store.base import Base
from trainer.store.migrations.upgrade import downgrade, settings_of_alembic, upgrade


def test_models_equal_the_migrated_tables(work):
    with work._engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, Base.metadata) == []


def test_every_step_goes_back_and_up_again(work):
    steps = list(ScriptDirectory.from_config(settings_of_alembic()).walk_revisions())
    for step in steps:
        downgrade(work._engine, step.down_revision or "base")
    assert set(inspect(work._engine).get_table_names()) <= {"alembic_version"}
    upgrade(work._engine)
    assert "persons" in inspect(work._engine).get_table_names()


def test_answers_survive_a_step_back_and_up(work):
    someone = a_person(work)
    with work.writing(someone.viewer) as unit:
        item_id = shown(unit, someone)
        practice.keep(unit, response(someone, item_id))
    downgrade(work._engine, "0004_records")
    upgrade(work._engine)
    with work.reading(someone.viewer) as unit:
        (row,) = practice.page_of_history(unit, None, 5)
        assert (row.item_id, row.answered_at, row.right) == (item_id, NOW, True)
        assert practice.response_to(unit, item_id).response == ["a"]


def test_standards_come_and_go_with_their_step_and_nothing_else_does(work):
    """The step adds tables only: answers stay through it, and the panel is open again after."""
    someone = a_person(work, "instructor")
    with work.writing(someone.viewer) as unit:
        practice.keep(unit, response(someone, shown(unit, someone)))
    downgrade(work._engine, "0010_contests")
    assert "panels" not in inspect(work._engine).get_table_names()
    upgrade(work._engine)
    with work.reading(someone.viewer) as unit:
        assert len(practice.page_of_history(unit, None, 5)) == 1
        assert standards.in_force(unit, "tape_in") is None
        assert standards.all_under_way(unit) == []


def test_records_know_their_issuer_after_the_step_up(work):
    someone = a_person(work)
    document = '{"issuer": {"id": "did:key:zOne"}}'
    with work.writing() as unit:
        records.keep(unit, a_row(someone, 1, document=document, issuer="did:key:zOne"))
        records.keep(unit, a_row(someone, 2, document="{}"))
    downgrade(work._engine, "0012_memory")
    upgrade(work._engine)
    with work.reading() as unit:
        names = [name for name, _ in records.names_of_issuer(unit, someone.organisation)]
    assert sorted(names) == ["", "did:key:zOne"]


def test_standards_know_their_raters_by_id_after_the_step_up_and_by_name_before(work):
    place = a_person(work, "instructor", name="Ines Varga")
    other = a_person(work, "instructor", organisation=place.organisation, name="Otti Brask")
    with work.writing(place.viewer) as unit:
        made = Filled(unit, place, other, "said", first=True).rows
        panel, standard = made["panel_ratings"]["panel_id"], made["standards"]["id"]
        row = unit.session.get(standards.StandardRow, standard)
        row.panel_id, row.summary = panel, {"raters": [place.id], "cut": 7}
    downgrade(work._engine, "0025_week_findings")
    with work._engine.begin() as connection:
        (kept,) = connection.exec_driver_sql("select summary from standards").scalars()
        assert "Ines Varga" in str(kept)
        connection.exec_driver_sql("update persons set name = 'Ines Moor' where name like 'Ines%%'")
    upgrade(work._engine)
    with work.reading() as unit:
        row = unit.session.get(standards.StandardRow, standard)
        assert row.summary == {"raters": [place.id], "cut": 7}


def test_a_house_is_in_the_order_of_names_after_the_step_up(work):
    someone = a_person(work, name="Ada Lowe")
    downgrade(work._engine, "0028_erasures")
    upgrade(work._engine)
    with work.reading(someone.viewer) as unit:
        (row,) = team.staff(unit)
        assert (row.id, row.name) == (someone.id, "Ada Lowe")
