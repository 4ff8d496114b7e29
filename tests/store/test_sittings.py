"""Sittings: one open at a time, answers in place of answers, the same save once."""

import pytest

from tests.support.people import NOW, a_person
from trainer.store import sittings
from trainer.store.base import new_id
from trainer.use_cases.refusals import NotFound


def opened(unit, someone, items=2):
    sitting_id = new_id()
    values = {
        "id": sitting_id,
        "person_id": someone.id,
        "organisation_id": someone.organisation,
        "method": "tape_in",
        "blueprint": "bonded",
        "state": "main",
        "unfinished": f"{someone.id}:tape_in",
        "opened_at": NOW,
        "closes_at": NOW,
        "minutes": 60,
        "bank_version": "v",
        "fingerprint": "f",
        "most": items,
        "cut": 1,
        "outcome": {},
    }
    rows = [
        {
            "sitting_id": sitting_id,
            "position": n,
            "phase": "main",
            "family": f"f{n}",
            "kept": {"stem": str(n)},
            "answer": None,
            "saved_at": None,
            "flagged": False,
        }
        for n in range(1, items + 1)
    ]
    return sittings.open_once(unit, values, rows)


def test_nobody_has_two_open(work):
    someone = a_person(work)
    with work.writing(someone.viewer) as unit:
        first = opened(unit, someone)
        assert opened(unit, someone) == first
        assert len(sittings.items(unit, first)) == 2


def test_a_save_replaces_and_a_repeat_changes_nothing(work):
    someone = a_person(work)
    with work.writing(someone.viewer) as unit:
        sitting_id = opened(unit, someone)
        sittings.hold(unit, sitting_id)
        assert sittings.save(unit, sitting_id, 1, "one", ["a"], NOW)
        assert sittings.save(unit, sitting_id, 1, "two", ["b"], NOW)
        assert not sittings.save(unit, sitting_id, 1, "one", ["a"], NOW)
        sittings.flag(unit, sitting_id, 2, True)
    with work.reading(someone.viewer) as unit:
        assert sittings.item(unit, sitting_id, 1).answer == ["b"]
        assert sittings.item(unit, sitting_id, 2).answer is None
        assert [row.flagged for row in sittings.places(unit, sitting_id, "main")] == [False, True]


def test_a_sitting_belongs_to_its_person(work):
    someone, other = a_person(work), a_person(work)
    with work.writing(someone.viewer) as unit:
        sitting_id = opened(unit, someone)
    with work.reading(other.viewer) as unit:
        with pytest.raises(NotFound):
            sittings.own(unit, sitting_id)
        with pytest.raises(NotFound):
            sittings.item(unit, sitting_id, 1)


def test_only_a_passed_sitting_counts_as_passed(work):
    someone = a_person(work)
    with work.writing(someone.viewer) as unit:
        sitting_id = opened(unit, someone)
        assert sittings.passed(unit, someone.id, "tape_in") is None
        row = sittings.own(unit, sitting_id, to_change=True)
        row.state, row.unfinished, row.finished_at, row.passed = "done", None, NOW, True
    with work.reading(someone.viewer) as unit:
        assert sittings.passed(unit, someone.id, "tape_in").id == sitting_id
        assert sittings.latest(unit, someone.id, "tape_in").id == sitting_id
        assert sittings.unfinished(unit, someone.id, "tape_in") is None


def test_what_is_granted_is_the_organisations(work):
    someone = a_person(work)
    more = {"pauses": 2, "pause_minutes": 10, "larger_type": True}
    with work.writing(someone.viewer) as unit:
        assert sittings.allowance(unit, someone.id) is None
        sittings.allow(unit, someone.id, NOW, {"percent": 25})
        sittings.allow(unit, someone.id, NOW, {"percent": 50} | more)
    with work.reading(someone.viewer) as unit:
        row = sittings.allowance(unit, someone.id)
        assert (row.percent, row.pauses, row.larger_type) == (50, 2, True)
    with work.reading(a_person(work).viewer) as unit:
        assert sittings.allowance(unit, someone.id) is None
