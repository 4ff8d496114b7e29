"""From answers to a dated calibration, and what changes once it is adopted: new items alone."""

from contextlib import closing
from dataclasses import replace
from datetime import timedelta

import pytest

from tests.cohort.learners import Learner
from tests.cohort.path import Walk, practise_once, sit
from tests.store.test_calibrations import a_calibration
from tests.support.people import NOW, a_person, an_organisation
from trainer.core.scenarios.generate import generate
from trainer.store import calibrations, events, practice, sittings, whole
from trainer.use_cases import practise, recalibrate
from trainer.use_cases.know_difficulty import difficulty_of, in_use
from trainer.use_cases.refusals import InputProblem
from trainer.use_cases.work import Work

METHOD = "tape_in"
ABILITIES = (-1.0, -0.3, 0.4, 1.0, 1.7, 2.4)
LATER = NOW + timedelta(days=40)


@pytest.fixture(scope="module")
def pilot(sqlite_prepared, tmp_path_factory, bank):
    """Six people have sat an assessment, and practised a little: who they are, and every row."""
    with closing(Work(sqlite_prepared(tmp_path_factory.mktemp("pilot")))) as work:
        place = an_organisation(work)
        people = [a_person(work, organisation=place) for _ in ABILITIES]
        for one in walks(work, bank, people):
            sit(one, METHOD, NOW)
            for number in range(3):
                practise_once(one, METHOD, NOW + timedelta(minutes=number))
        with work.reading() as unit:
            rows = {name: list(whole.rows(unit, one)) for name, one in whole.tables(unit).items()}
    return people, rows


@pytest.fixture
def piloted(work, bank, pilot):
    """They, on the database of the test."""
    people, rows = pilot
    with work.writing() as unit:
        for name, table in whole.tables(unit).items():
            whole.put(unit, table, rows[name])
    return walks(work, bank, people)


def walks(work, bank, people):
    learners = (Learner(f"pilot {n}", theta) for n, theta in enumerate(ABILITIES))
    return [Walk(work, bank, *one) for one in zip(people, learners, strict=True)]


def answers(work):
    with work.reading() as unit:
        return recalibrate.gather(unit)


def reckoned(work):
    """A calibration of six people, which has to come to rest to be adopted."""
    return recalibrate.reckon(answers(work), None, NOW.date())


def test_every_answer_is_gathered_and_the_month_belongs_to_the_person(work, bank, piloted):
    found = answers(work)
    assert {one.family.partition(".")[2] for one in found} == {METHOD}
    assert len({one.person for one in found}) == len(ABILITIES)
    assert len(found) >= 6 * 43
    assert all(one.person.endswith(f"{METHOD} 2026-03") for one in found)
    practise_once(piloted[0], METHOD, LATER)
    assert len({one.person for one in answers(work)}) == len(ABILITIES) + 1


def test_nothing_changes_until_it_is_adopted_and_then_only_for_new_items(work, bank, piloted):
    found = reckoned(work)
    with work.writing() as unit:
        made = recalibrate.keep(unit, bank, found, NOW)
    assert made.moved is None
    family = next(iter(found.families))
    with work.reading() as unit:
        assert in_use(unit, [family]) is None
    before = shown(work, piloted[0])
    assert before.difficulty is None

    with work.writing() as unit:
        recalibrate.adopt(unit, made.id, NOW)
        recalibrate.adopt(unit, made.id, NOW + timedelta(days=1))
        assert calibrations.in_use(unit).adopted_at == NOW
        kinds = [event.kind for event in events.all_in_order(unit)]
        assert kinds.count("calibration.adopted") == 1
    with work.reading() as unit:
        used = in_use(unit, [family])
        assert used.families[family].b == pytest.approx(found.families[family].b)
        assert used.outlook == found.outlook
    row = sit(piloted[1], METHOD, LATER)
    with work.reading(piloted[1].someone.viewer) as unit:
        for one in sittings.items(unit, row.id):
            kept = one.difficulty
            assert kept["a"] > 0 and kept["b_sd"] > 0
    assert shown(work, piloted[0], before.id).difficulty is None


def shown(work, walk, item_id=""):
    """A scenario that one of them is shown."""
    with work.writing(walk.someone.viewer) as unit:
        if not item_id:
            planned = practise.plan_next(unit, walk.bank, METHOD, "timings", NOW, practise.SHORT)
            item_id = practise.show_next(unit, planned, practise.make(walk.bank, planned), NOW)
        row = practice.shown(unit, item_id)
    return type("Shown", (), {"id": item_id, "difficulty": row.difficulty})


def test_the_second_says_which_families_moved(work, bank, piloted):
    found = reckoned(work)
    with work.writing() as unit:
        first = recalibrate.keep(unit, bank, found, NOW)
        recalibrate.adopt(unit, first.id, NOW)
        second = recalibrate.keep(unit, bank, found, LATER)
        assert {one.shift for one in second.moved.moved} == {0.0}
        recalibrate.adopt(unit, second.id, LATER)
        assert calibrations.in_use(unit).id == second.id
        with pytest.raises(InputProblem, match="was in use before"):
            recalibrate.adopt(unit, first.id, LATER)


def test_what_cannot_be_adopted_says_why(work):
    with work.writing() as unit:
        with pytest.raises(InputProblem, match="is no calibration"):
            recalibrate.adopt(unit, "0" * 32, NOW)
        restless = a_calibration(unit)
        calibrations.calibration(unit, restless).summary = {
            "log_likelihood": -1.0,
            "converged": False,
            "centre": 0.0,
            "outlook": {},
        }
        unit.session.flush()
        with pytest.raises(InputProblem, match="did not come to rest"):
            recalibrate.adopt(unit, restless, NOW)


def test_too_few_answers_teach_nothing(work):
    with pytest.raises(InputProblem, match="too few: 0"):
        recalibrate.reckon(answers(work), None, NOW.date())


def test_a_kept_difficulty_is_read_back_with_the_items_own_floor(bank):
    item = generate(bank, f"offer_verdict.{METHOD}", 1)
    found = difficulty_of(item, {"a": 1.3, "b": 0.4, "b_sd": 0.1})
    assert (found.a, found.b, found.b_sd, found.floor) == (1.3, 0.4, 0.1, 0.25)


def test_what_is_no_number_is_not_kept(work, bank, piloted):
    found = reckoned(work)
    families = dict(found.families)
    families[next(iter(families))] = replace(next(iter(families.values())), sd=float("nan"))
    with work.writing() as unit:
        with pytest.raises(InputProblem, match="holds what is no number"):
            recalibrate.keep(unit, bank, replace(found, families=families), NOW)
        assert calibrations.newest(unit, 9) == []
