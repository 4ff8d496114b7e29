"""What is assigned to whom, counted once for each answer, and scoped by organisation."""

from datetime import date, timedelta

import pytest

from tests.support.people import NOW, a_person, an_organisation
from trainer.core.problems import NotFound
from trainer.store import modules, people
from trainer.store.base import new_id
from trainer.use_cases import keep_people


def values(boss, **more):
    module_id = new_id()
    return {
        "id": module_id,
        "submission_id": module_id,
        "organisation_id": boss.organisation,
        "title": "Off safely",
        "methods": ["tape_in"],
        "topics": ["removal_safety"],
        "length": 2,
        "level": "",
        "due_on": date(2026, 3, 9),
        "created_by": boss.id,
        "created_at": NOW,
    } | more


@pytest.fixture
def boss(work):
    return a_person(work, "instructor")


@pytest.fixture
def learner(work, boss):
    return a_person(work, organisation=boss.organisation, name="Ama Owusu")


def assigned(work, boss, people_=(), groups=(), **more):
    with work.writing(boss.viewer) as unit:
        module_id, _ = modules.keep_once(unit, values(boss, **more))
        modules.assign(unit, module_id, groups, people_)
    return module_id


def open_for(work, someone):
    with work.reading(someone.viewer) as unit:
        return modules.open_for(unit, someone.id)


def count(work, someone, method="tape_in", topic="removal_safety", right=True):
    with work.writing(someone.viewer) as unit:
        found = modules.count(unit, someone.id, method, topic, right, NOW)
    return [(one.id, one.answered) for one in found]


def test_a_module_counts_what_it_asks_for_until_it_is_done(work, boss, learner):
    module_id = assigned(work, boss, [learner.id])
    assert count(work, learner, topic="timings") == []
    assert count(work, learner, method="clip_in") == []
    assert count(work, learner) == [(module_id, 1)]
    assert [(one.answered, one.right) for one in open_for(work, learner)] == [(1, 1)]
    count(work, learner, right=False)
    assert open_for(work, learner) == []
    assert count(work, learner) == []
    with work.reading(boss.viewer) as unit:
        (row,) = modules.assigned(unit, [module_id])
    assert (row.answered, row.right, row.last_at) == (2, 1, NOW)


def test_a_group_brings_the_module_to_whoever_is_in_it(work, boss, learner):
    with work.writing(boss.viewer) as unit:
        group = keep_people.make_group(unit, "Evening")
    module_id = assigned(work, boss, [], [group])
    assert open_for(work, learner) == []
    with work.writing(boss.viewer) as unit:
        people.set_groups(unit, learner.id, [group])
        modules.assign(unit, module_id, [group], [learner.id])
    assert [one.id for one in open_for(work, learner)] == [module_id]
    with work.reading(boss.viewer) as unit:
        assert [row.name for row in modules.assigned(unit, [module_id])] == ["Ama Owusu"]


def test_open_modules_come_with_the_nearest_day_first(work, boss, learner):
    later = assigned(work, boss, [learner.id], due_on=date(2026, 4, 1))
    sooner = assigned(work, boss, [learner.id], due_on=date(2026, 3, 4))
    assigned(work, boss, [learner.id], closed_at=NOW)
    assert [one.id for one in open_for(work, learner)] == [sooner, later]


def test_the_same_submission_is_kept_once(work, boss):
    with work.writing(boss.viewer) as unit:
        first = modules.keep_once(unit, values(boss, submission_id="s"))
        second = modules.keep_once(unit, values(boss, submission_id="s"))
    assert first[1] and not second[1]
    assert first[0] == second[0]


def test_another_organisations_module_is_not_there(work, boss, learner):
    module_id = assigned(work, boss, [learner.id], submission_id="theirs")
    stranger = a_person(work, "instructor", organisation=an_organisation(work))
    with work.writing(stranger.viewer) as unit:
        with pytest.raises(NotFound):
            modules.module(unit, module_id)
        with pytest.raises(NotFound):
            modules.keep_once(unit, values(stranger, submission_id="theirs"))
        assert modules.open_for(unit, learner.id) == []
        assert modules.open_ones(unit) == []


def test_who_has_left_is_no_longer_listed(work, boss, learner):
    module_id = assigned(work, boss, [learner.id])
    with work.writing(boss.viewer) as unit:
        people.membership(unit, learner.id, boss.organisation).ended_at = NOW
    with work.reading(boss.viewer) as unit:
        assert modules.assigned(unit, [module_id]) == []
        assert modules.assigned(unit, []) == []


def test_closed_modules_are_paged_by_key(work, boss):
    ids = [assigned(work, boss, closed_at=NOW + timedelta(hours=n // 2)) for n in range(5)]
    seen, before = [], None
    with work.reading(boss.viewer) as unit:
        while page := modules.closed_ones(unit, before, 2):
            seen += [row.id for row in page]
            before = page[-1]
    assert sorted(seen) == sorted(ids)
    assert seen[0] == ids[4]
