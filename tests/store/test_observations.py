"""Observations: kept once, the latest of each service counts."""

from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from trainer.core.problems import NotFound
from trainer.store import observations
from trainer.store.base import new_id


@pytest.fixture
def boss(work):
    return a_person(work, "instructor")


@pytest.fixture
def learner(work, boss):
    return a_person(work, organisation=boss.organisation)


def watched(work, boss, learner, service="fit", met=True, days=0, submission=""):
    at = NOW + timedelta(days=days)
    with work.writing(boss.viewer) as unit:
        row, is_new = observations.keep_once(
            unit,
            {
                "id": new_id(),
                "submission_id": submission or new_id(),
                "person_id": learner.id,
                "observer_id": boss.id,
                "organisation_id": boss.organisation,
                "method": "tape_in",
                "service": service,
                "observed_at": at,
                "signed_at": at,
                "ticks": {"b": {"met": met}, "a": {"met": True}},
                "notes": "",
                "met": met,
                "bank_version": "v",
            },
        )
        return row.id, is_new


def met_for(work, boss, learner, method="tape_in"):
    with work.reading(boss.viewer) as unit:
        found = observations.latest_watching(unit, learner.id, method)
        return {service: one.first.id for service, one in found.items() if one.met}


def test_the_latest_of_each_service_counts(work, boss, learner):
    watched(work, boss, learner, days=0)
    second, _ = watched(work, boss, learner, days=3)
    watched(work, boss, learner, "remove", days=1)
    watched(work, boss, learner, "remove", met=False, days=2)
    watched(work, boss, learner, "maintain", met=False, days=1)
    maintained, _ = watched(work, boss, learner, "maintain", days=2)
    assert met_for(work, boss, learner) == {"fit": second, "maintain": maintained}
    assert met_for(work, boss, learner, "clip_in") == {}


def test_the_same_submission_is_kept_once(work, boss, learner):
    first = watched(work, boss, learner, submission="one")
    assert watched(work, boss, learner, submission="one") == (first[0], False)


def test_ticks_keep_the_order_of_the_sheet(work, boss, learner):
    found, _ = watched(work, boss, learner)
    with work.reading(boss.viewer) as unit:
        assert list(observations.observation(unit, found).ticks) == ["b", "a"]


def test_only_its_organisation_and_whom_it_is_about_may_see_it(work, boss, learner):
    found, _ = watched(work, boss, learner)
    stranger = a_person(work, "instructor")
    with work.reading(stranger.viewer) as unit:
        with pytest.raises(NotFound):
            observations.observation(unit, found)
        assert observations.of_person(unit, learner.id, 5) == []
    with work.reading(learner.viewer) as unit:
        assert observations.observation(unit, found).person_id == learner.id
