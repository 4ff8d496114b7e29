"""A consultation that was begun is kept, once, and for its own person alone."""

import pytest
from sqlalchemy.exc import NoResultFound

from tests.store.test_practice import shown
from tests.support.people import NOW, a_person
from trainer.store import consultations


def test_steps_and_decision_are_kept(work):
    someone = a_person(work)
    with work.writing(someone.viewer) as unit:
        item_id = shown(unit, someone)
        assert consultations.begun(unit, item_id) is None
        row = consultations.to_change(unit, item_id, NOW)
        assert (row.steps, row.decided) == ([], None)
        consultations.keep_steps(row, ["pull_test"], NOW)
    with work.writing(someone.viewer) as unit:
        row = consultations.to_change(unit, item_id, NOW)
        assert (row.steps, row.begun_at) == (["pull_test"], NOW)
        consultations.keep_decision(row, {"plan": None}, NOW)
    with work.reading(someone.viewer) as unit:
        row = consultations.begun(unit, item_id)
        assert (row.steps, row.decided) == (["pull_test"], {"plan": None})


def test_nobody_sees_another_one_s(work):
    someone, other = a_person(work), a_person(work)
    with work.writing(someone.viewer) as unit:
        item_id = shown(unit, someone)
        consultations.to_change(unit, item_id, NOW)
    with work.reading(other.viewer) as unit:
        assert consultations.begun(unit, item_id) is None
    with work.writing(other.viewer) as unit, pytest.raises(NoResultFound):
        consultations.to_change(unit, item_id, NOW)
