"""The chained log holds, and shows when it does not."""

from datetime import UTC, datetime

from sqlalchemy import delete, update

from trainer.store.events import EventBodyRow, EventRow
from trainer.use_cases.keep_log import check_log, log

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
        unit.session.execute(delete(EventBodyRow).where(EventBodyRow.number == 2))
    with work.reading() as unit:
        assert check_log(unit) == (3, [])


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
