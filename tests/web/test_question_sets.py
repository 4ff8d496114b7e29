"""Sets of questions as a file: who gets one, what it holds, what the log keeps."""

from io import BytesIO
from zipfile import ZipFile

import pytest

from tests.support.people import a_person
from trainer.core.exchange.qti_check import package_faults
from trainer.store import events

ASKED = {
    "title": "Tape-in, spring",
    "count": "4",
    "method": "tape_in",
    "topic": "",
    "kind": "choose_one",
    "level": "working",
    "minutes": "30",
}


def test_an_instructor_takes_a_set_out_and_the_log_knows(visit, sqlite_work):
    teacher = a_person(sqlite_work, "instructor")
    here = visit(teacher)
    assert "Questions as a file" in here.get("/question-sets")
    answer = here.client.post("/question-sets", data=ASKED)
    assert (answer.status_code, answer.mimetype) == (200, "application/zip")
    with ZipFile(BytesIO(answer.data)) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    assert package_faults(files) == []
    assert sum(name.startswith("items/") for name in files) == 4
    assert b'title="Tape-in, spring"' in files["test.xml"] and b"1800" in files["test.xml"]
    with sqlite_work.reading(teacher.viewer) as unit:
        assert [r.kind for r in events.all_in_order(unit)][-1] == "questions.given_out"


def test_two_sets_are_not_the_same(visit, sqlite_work):
    here = visit(a_person(sqlite_work, "administrator"))
    first, second = (here.client.post("/question-sets", data=ASKED).data for _ in range(2))
    assert first != second


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"count": "61"}, "from 1 to 60"),
        ({"count": "many"}, "from 1 to 60"),
        ({"title": ""}, "Write a name."),
        ({"method": "clip_in", "topic": "timings", "kind": "point_at_figure"}, "less narrowly"),
        ({"method": "no_such"}, "Not a valid choice"),
    ],
)
def test_what_cannot_be_given_is_told(visit, sqlite_work, changed, words):
    here = visit(a_person(sqlite_work, "instructor"))
    assert words in here.post("/question-sets", {**ASKED, **changed}, code=400)


@pytest.mark.parametrize("role", ["apprentice", "salon_manager"])
def test_whoever_does_not_teach_gets_none(visit, sqlite_work, role):
    visit(a_person(sqlite_work, role)).post("/question-sets", ASKED, code=403)
