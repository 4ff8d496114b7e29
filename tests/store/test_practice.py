"""Shown scenarios, answers, summaries: once, and for the viewer alone."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from trainer.store import competencies, practice
from trainer.store.base import new_id
from trainer.use_cases.refusals import NotFound


def shown(unit, someone, at=NOW):
    item_id = new_id()
    practice.show(
        unit,
        {
            "id": item_id,
            "person_id": someone.id,
            "organisation_id": someone.organisation,
            "method": "tape_in",
            "topic": "timings",
            "family": "wear.tape_in",
            "kept": {"stem": "When?"},
            "shown_at": at,
        },
    )
    return item_id


def response(someone, item_id, at=NOW):
    return {
        "item_id": item_id,
        "person_id": someone.id,
        "organisation_id": someone.organisation,
        "method": "tape_in",
        "topic": "timings",
        "family": "wear.tape_in",
        "response": ["a"],
        "score": 1.0,
        "right": True,
        "critical_error": False,
        "misconceptions": [],
        "wrong": [],
        "answered_at": at,
    }


def test_an_answer_is_kept_once(work):
    someone = a_person(work)
    with work.writing(someone.viewer) as unit:
        first, second = shown(unit, someone), shown(unit, someone)
        assert practice.keep(unit, response(someone, first))
        assert not practice.keep(unit, response(someone, first) | {"response": ["b"]})
        assert practice.keep(unit, response(someone, second))
    with work.reading(someone.viewer) as unit:
        assert practice.response_to(unit, first).response == ["a"]
        assert practice.shown(unit, first).kept == {"stem": "When?"}


def test_what_somebody_else_was_shown_is_not_there(work):
    someone, other = a_person(work), a_person(work)
    with work.writing(someone.viewer) as unit:
        item_id = shown(unit, someone)
    with work.reading(other.viewer) as unit, pytest.raises(NotFound):
        practice.shown(unit, item_id)


def test_history_is_paged_by_key_without_gap_or_repeat(work):
    someone = a_person(work)
    with work.writing(someone.viewer) as unit:
        for n in range(7):
            at = NOW + timedelta(minutes=n // 2)
            practice.keep(unit, response(someone, shown(unit, someone), at))
    seen, before = [], None
    with work.reading(someone.viewer) as unit:
        while rows := practice.page_of_history(unit, before, 3):
            seen += [(row.answered_at, row.item_id) for row in rows]
            before = seen[-1]
    assert len(set(seen)) == 7
    assert seen == sorted(seen, reverse=True)


def test_wrong_ideas_are_counted_for_the_organisation_that_saw_them(work):
    someone, other = a_person(work, "apprentice"), a_person(work, "instructor")
    with work.writing(someone.viewer) as unit:
        for _ in range(2):
            practice.note_wrong_idea(
                unit, someone.organisation, "tape_in", "timings", "x.belief", NOW
            )
        (idea,) = practice.wrong_ideas(unit, [someone.id])
        assert (idea.misconception, idea.times) == ("x.belief", 2)
    with work.reading(other.viewer) as unit:
        assert practice.wrong_ideas(unit, [someone.id]) == []


def test_a_summary_is_replaced_not_added(work):
    someone = a_person(work)
    row = {
        "person_id": someone.id,
        "method": "tape_in",
        "topic": "timings",
        "mean": 0.1,
        "sd": 0.9,
        "n": 1,
        "right": 1,
        "updated_at": NOW,
        "waiting_id": None,
    }
    with work.writing(someone.viewer) as unit:
        competencies.keep(unit, [row, row | {"topic": ""}])
        competencies.keep(unit, [row | {"mean": 0.4, "n": 2, "waiting_id": "waiting"}])
    with work.reading(someone.viewer) as unit:
        known = {row.topic: row for row in competencies.of_person(unit, someone.id)}
    assert (known["timings"].mean, known["timings"].n, known[""].n) == (0.4, 2, 1)
    assert known["timings"].waiting_id == "waiting"
    assert known["timings"].updated_at == NOW


def test_what_was_shown_lately_newest_first_with_how_it_was_answered(work):
    someone, other = a_person(work), a_person(work)
    with work.writing(someone.viewer) as unit:
        ids = [shown(unit, someone, NOW + timedelta(minutes=n)) for n in range(4)]
        practice.keep(unit, response(someone, ids[1]))
        practice.keep(unit, response(someone, ids[2]) | {"right": False})
        found = practice.lately(unit, 3)
    assert [(row.family, row.content, row.right) for row in found] == [
        ("wear.tape_in", "", None),
        ("wear.tape_in", "", False),
        ("wear.tape_in", "", True),
    ]
    with work.reading(other.viewer) as unit:
        assert practice.lately(unit, 3) == []
