"""The chained log holds, and shows when it does not."""

from datetime import UTC, datetime
from hashlib import sha256

import pytest
import rfc8785
from sqlalchemy import delete, update

from trainer.store.events import EventBodyRow, EventRow
from trainer.use_cases.keep_log import check_log, erase, exported, log

NOW = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)


def three_events(work):
    with work.writing() as unit:
        for number in (1, 2, 3):
            log(unit, "test.event", {"number": number}, NOW, person_id="p", organisation_id="o")


def test_a_whole_chain_holds(work):
    three_events(work)
    with work.reading() as unit:
        assert check_log(unit) == (3, [])


def test_erasing_what_an_event_says_leaves_the_chain_whole(work):
    three_events(work)
    with work.writing() as unit:
        erase(unit, [2], "The person asked for it.", NOW)
    with work.reading() as unit:
        assert check_log(unit) == (4, [])
        assert [row["said"] is None for row in exported(unit)] == [False, True, False, False]


def test_deleting_what_an_event_says_shows(work):
    three_events(work)
    with work.writing() as unit:
        unit.session.execute(delete(EventBodyRow).where(EventBodyRow.number == 2))
    with work.reading() as unit:
        assert check_log(unit)[1] == ["what entry 2 says was deleted"]


@pytest.mark.parametrize("column", ["person_id", "actor_id", "organisation_id"])
def test_changing_who_did_it_shows(work, column):
    three_events(work)
    with work.writing() as unit:
        unit.session.execute(
            update(EventBodyRow).where(EventBodyRow.number == 2).values({column: "x"})
        )
    with work.reading() as unit:
        assert check_log(unit)[1] == ["what entry 2 says was changed"]


def test_what_is_given_out_is_enough_to_check_the_chain(work):
    three_events(work)
    with work.reading() as unit:
        rows = list(exported(unit))
    before = "0" * 64
    for row in rows:
        about = {name: row["said"][name] for name in ("organisation", "person", "actor", "moment")}
        said = {"salt": row["said"]["salt"], "body": row["said"]["body"], "about": about}
        assert sha256(rfc8785.dumps(said)).hexdigest() == row["body_hash"]
        sealed = {name: row[name] for name in ("number", "kind", "at", "before")}
        sealed["body"] = row["body_hash"]
        assert sha256(rfc8785.dumps(sealed)).hexdigest() == row["hash"]
        assert row["before"] == before
        before = row["hash"]


def test_changing_what_an_event_says_shows(work):
    three_events(work)
    with work.writing() as unit:
        unit.session.execute(
            update(EventBodyRow).where(EventBodyRow.number == 2).values(body={"number": 9})
        )
    with work.reading() as unit:
        assert check_log(unit)[1] == ["what entry 2 says was changed"]


def test_changing_or_losing_a_link_shows(work):
    three_events(work)
    with work.writing() as unit:
        unit.session.execute(update(EventRow).where(EventRow.number == 2).values(kind="other"))
    with work.reading() as unit:
        assert "entry 2 was changed" in check_log(unit)[1][0]
    with work.writing() as unit:
        unit.session.execute(delete(EventBodyRow).where(EventBodyRow.number == 2))
        unit.session.execute(delete(EventRow).where(EventRow.number == 2))
    with work.reading() as unit:
        assert any("missing" in one for one in check_log(unit)[1])
