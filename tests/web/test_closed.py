"""While a person sits an assessment, nothing that answers questions opens to them."""

from datetime import timedelta

import pytest

from tests.support.people import a_person
from tests.support.practised import a_sitting
from trainer import clock
from trainer.store import sittings
from trainer.use_cases import keep_people
from trainer.web.app import rooms
from trainer.web.closed import instead_while_sitting

CLOSED = "This opens again when your assessment is over"
ANSWERING = {
    *("knowledge", "adviser", "practice", "consultations", "changes"),
    *("answered", "cohort", "contests", "observations", "question_sets", "standards"),
}
"""Rooms that show facts, reasons, keys or what is looked for at the chair."""
PAGES = (
    "/methods",
    "/methods/search?q=acetone",
    "/methods/sources",
    "/methods/tape_in",
    "/methods/tape_in/print",
    "/methods/tape_in/steps",
    "/methods/tape_in/timings",
    "/adviser",
    "/practice",
    "/practice/tape_in/timings",
    "/practice/history",
)


def open_sitting(work, someone, **changed):
    row = a_sitting(someone, "tape_in", False, clock.now())
    row.state, row.finished_at, row.passed = "main", None, None
    row.unfinished, row.closes_at = f"{someone.id}:tape_in", clock.now() + timedelta(minutes=50)
    for name, value in changed.items():
        setattr(row, name, value)
    with work.writing(someone.viewer) as unit:
        unit.session.add(row)
        unit.session.flush()
        return row.id


def finish(work, someone, sitting_id):
    with work.writing(someone.viewer) as unit:
        row = sittings.own(unit, sitting_id)
        row.state, row.unfinished, row.finished_at = "done", None, clock.now()


@pytest.fixture
def mina(sqlite_work):
    return a_person(sqlite_work)


def test_closed_kindly_with_the_way_back_and_open_again_afterwards(visit, sqlite_work, mina):
    here = visit(mina)
    sitting = open_sitting(sqlite_work, mina)
    for address in PAGES:
        page = here.get(address, code=403)
        assert CLOSED in page and f"/sittings/{sitting}" in page, address
    assert CLOSED in here.post("/adviser", {"bonded": "x"}, code=403)
    assert CLOSED in here.post("/practice/tape_in/timings", code=403)
    finish(sqlite_work, mina, sitting)
    for address in PAGES:
        assert CLOSED not in here.get(address)


def test_signing_in_leads_back_into_the_sitting(visit, sqlite_work, mina):
    sitting = open_sitting(sqlite_work, mina)
    reply = visit(mina).client.get("/")
    assert reply.headers["Location"] == f"/sittings/{sitting}"
    finish(sqlite_work, mina, sitting)
    assert visit(mina).client.get("/").headers["Location"] == "/practice"


@pytest.mark.parametrize("state", [{"paused_at": clock.now()}, {"closes_at": clock.now()}])
def test_a_pause_and_a_time_that_has_run_out_open_nothing(visit, sqlite_work, mina, state):
    """After the time, fresh questions may still come: only the end of it all opens the book."""
    open_sitting(sqlite_work, mina, **state)
    assert CLOSED in visit(mina).get("/methods/tape_in", code=403)


def test_earlier_answers_are_closed_too_but_not_their_result(visit, sqlite_work, mina):
    done = open_sitting(sqlite_work, mina)
    finish(sqlite_work, mina, done)
    here = visit(mina)
    assert CLOSED not in here.get(f"/sittings/{done}/result/1")
    open_sitting(sqlite_work, mina)
    assert CLOSED in here.get(f"/sittings/{done}/result/1", code=403)
    here.get(f"/sittings/{done}/result")


def test_in_every_role_and_house_and_for_nobody_else(visit, sqlite_work, mina):
    boss = a_person(sqlite_work, "instructor", organisation=mina.organisation)
    salon = a_person(sqlite_work, "salon_manager")
    open_sitting(sqlite_work, mina)
    for other in (boss, salon):
        assert CLOSED not in visit(other).get("/methods/tape_in")
    with sqlite_work.writing() as unit:
        keep_people.join(unit, mina.id, salon.organisation, ["instructor"], clock.now())
    here = visit(mina)
    here.post("/me/organisation", {"organisation": salon.organisation}, code=403)
    for address in ("/methods", "/question-sets", "/contests", "/standards", "/methods/answers"):
        assert CLOSED in here.get(address, code=403)
    assert "Change to where you sit it" in here.get("/methods", code=403)


def test_first_aid_is_open_to_all_at_all_times(visit, sqlite_work, mina):
    open_sitting(sqlite_work, mina)
    for anybody in (visit(mina), visit()):
        page = anybody.get("/first-aid")
        assert "lids held open" in page and "emergency number" in page
        assert "/first-aid" in anybody.get("/help")
    assert "/first-aid" in visit(mina).get("/methods", code=403)


def test_a_warm_up_is_no_sitting(visit, sqlite_work, mina):
    here = visit(mina)
    here.get("/assessments/tape_in/full/try/1")
    assert CLOSED not in here.get("/methods/tape_in")


def test_every_room_that_answers_questions_is_closed():
    """A new room of that kind belongs into the list above."""
    shut = {
        pages.name
        for pages in rooms()
        if instead_while_sitting in pages.before_request_funcs.get(None, [])
    }
    assert shut == ANSWERING
