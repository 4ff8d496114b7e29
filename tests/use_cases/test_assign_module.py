"""Build, assign, move, close: and every refusal names its field."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.support.people import NOW, a_person
from tests.support.plain_bank import METHOD, plain_bank
from tests.support.practised import answer
from trainer.store import modules, people
from trainer.use_cases import assign_module, keep_people
from trainer.use_cases.assign_module import Wish
from trainer.use_cases.refusals import Forbidden, InputProblem, NotFound

NAMES = ("Plain method", "safe removal")
DUE = NOW.date() + timedelta(days=7)


@pytest.fixture
def plain():
    return plain_bank()


@pytest.fixture
def boss(work):
    return a_person(work, "instructor")


@pytest.fixture
def learner(work, boss):
    return a_person(work, organisation=boss.organisation, name="Ama Owusu")


@pytest.fixture
def wish(learner):
    return Wish("", [METHOD], ["removal_safety"], 5, DUE, person_ids=[learner.id])


def create(work, plain, boss, wish):
    with work.writing(boss.viewer) as unit:
        return assign_module.create(unit, plain, wish, NAMES, NOW)[0]


def see(work, boss, module_id, now=NOW):
    with work.reading(boss.viewer) as unit:
        return assign_module.see(unit, module_id, now)


def test_a_module_shows_who_is_how_far(work, plain, boss, learner, wish):
    module_id = create(work, plain, boss, wish)
    for right in (True, True, False):
        answer(work, plain, learner, right)
    answer(work, plain, learner, True, topic="timings")
    found = see(work, boss, module_id)
    assert found.title == "Plain method: safe removal"
    (one,) = found.learners
    assert (one.name, one.progress.answered, one.progress.right) == ("Ama Owusu", 3, 2)
    assert found.state == "under_way"
    assert see(work, boss, module_id, NOW + timedelta(days=8)).state == "overdue"
    for _ in range(2):
        answer(work, plain, learner, True)
    assert see(work, boss, module_id, NOW + timedelta(days=8)).counts == {"done": 1}


def test_the_same_form_sent_twice_makes_one_module(work, plain, boss, wish):
    twice = replace(wish, submission_id="s")
    assert create(work, plain, boss, twice) == create(work, plain, boss, twice)
    with work.reading(boss.viewer) as unit:
        assert len(modules.open_ones(unit)) == 1


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"methods": []}, "methods"),
        ({"methods": ["glue_gun"]}, "methods"),
        ({"topics": []}, "topics"),
        ({"topics": ["weather"]}, "topics"),
        ({"length": 4}, "length"),
        ({"length": 201}, "length"),
        ({"level": "expert"}, "level"),
        ({"due_on": NOW.date() - timedelta(days=1)}, "due_on"),
        ({"due_on": NOW.date() + timedelta(days=400)}, "due_on"),
        ({"person_ids": []}, "groups"),
        ({"person_ids": ["nobody"]}, "people"),
        ({"group_ids": ["nowhere"]}, "groups"),
    ],
)
def test_what_cannot_be_names_its_field(work, plain, boss, wish, change, field):
    with pytest.raises(InputProblem) as caught:
        create(work, plain, boss, replace(wish, **change))
    assert caught.value.where == field


def test_only_apprentices_of_the_house_are_given_work(work, plain, boss, wish):
    for other in (a_person(work), a_person(work, "instructor", organisation=boss.organisation)):
        with pytest.raises(InputProblem, match="no apprentice here"):
            create(work, plain, boss, replace(wish, person_ids=[other.id]))


def test_another_house_cannot_see_move_or_close_it(work, plain, boss, wish):
    module_id = create(work, plain, boss, wish)
    stranger = a_person(work, "instructor")
    with work.writing(stranger.viewer) as unit:
        for refused in (
            lambda: assign_module.see(unit, module_id, NOW),
            lambda: assign_module.change_due(unit, module_id, DUE, NOW),
            lambda: assign_module.close(unit, module_id, NOW),
            lambda: assign_module.list_closed(unit, module_id, NOW),
        ):
            with pytest.raises(NotFound):
                refused()
        assert assign_module.list_open(unit, NOW) == []


def test_apprentices_assign_nothing(work, plain, learner, wish):
    with work.writing(learner.viewer) as unit:
        with pytest.raises(Forbidden):
            assign_module.create(unit, plain, wish, NAMES, NOW)
        with pytest.raises(Forbidden):
            assign_module.list_open(unit, NOW)


def test_the_day_moves_and_a_closed_module_is_asked_of_nobody(work, plain, boss, learner, wish):
    module_id = create(work, plain, boss, wish)
    with work.writing(boss.viewer) as unit:
        assign_module.change_due(unit, module_id, DUE + timedelta(days=3), NOW)
        with pytest.raises(InputProblem, match="over"):
            assign_module.change_due(unit, module_id, NOW.date() - timedelta(days=1), NOW)
    assert see(work, boss, module_id).due_on == DUE + timedelta(days=3)
    with work.writing(boss.viewer) as unit:
        assign_module.close(unit, module_id, NOW)
        assert modules.open_for(unit, learner.id) == []
        with pytest.raises(InputProblem, match="closed"):
            assign_module.change_due(unit, module_id, DUE, NOW)
        (closed,), after = assign_module.list_closed(unit, "", NOW)
    assert closed.closed and after == ""


def test_the_most_pressing_module_comes_first(work, plain, boss, learner, wish):
    with work.writing(boss.viewer) as unit:
        group = keep_people.make_group(unit, "Evening")
        people.set_groups(unit, learner.id, [group])
    calm = create(work, plain, boss, replace(wish, title="Calm", due_on=DUE))
    late = create(
        work, plain, boss, replace(wish, title="Late", due_on=NOW.date(), group_ids=[group])
    )
    with work.reading(boss.viewer) as unit:
        found = assign_module.list_open(unit, NOW + timedelta(days=2))
    assert [one.id for one in found] == [late, calm]
    assert see(work, boss, late).groups == ("Evening",)
