"""Two groups of an academy compared: who may be compared, what is found, and whom nobody finds."""

import pytest

from tests.store.test_calibrations import a_calibration
from tests.support.grouped import SIZE, Academy
from tests.support.people import NOW, Someone, a_person
from tests.support.plain_bank import METHOD, plain_bank
from tests.support.practised import a_sitting
from trainer.core.items.codec import as_kept
from trainer.core.items.registry import type_of
from trainer.core.measurement.analysis.matched import LEAST_PEOPLE
from trainer.core.scenarios.family import families
from trainer.core.scenarios.generate import generate
from trainer.store import people
from trainer.store.sittings import SittingItemRow, TimeAllowanceRow
from trainer.use_cases import compare_groups
from trainer.use_cases.know_difficulty import in_use
from trainer.use_cases.refusals import Forbidden, NotFound
from trainer.use_cases.typical_items import typical_items
from trainer.use_cases.work import NOBODY


@pytest.fixture(scope="module")
def plain():
    return plain_bank()


@pytest.fixture(scope="module")
def there(plain):
    return tuple(one.id for one in families(plain, method=METHOD))[:20]


def see(work, plain, academy, asked="", who=None):
    with work.reading((who or academy.boss).viewer) as unit:
        return compare_groups.see(unit, plain, METHOD, asked)


def title(plain, family):
    return next(one.recipe.title for one in families(plain, method=METHOD) if one.id == family)


def test_planted_questions_come_first_each_on_its_side(work, plain, there):
    academy = Academy(work, METHOD, there, {there[9]: SIZE, there[10]: -SIZE})
    academy.join(560, 14)
    found = see(work, plain, academy)
    assert found.chosen.id == academy.group_id and found.answers == 560 * 14
    first, second = sorted(found.rows[:2], key=lambda row: row.mid)
    assert (first.title, second.title) == (title(plain, there[10]), title(plain, there[9]))
    for row in (first, second):
        assert row.size == "C" and row.low < row.mid < row.high
        assert (row.right_other < row.right_one) is (row.mid > 0.5)
    others = found.rows[2:]
    assert len(others) == len(there) - 2 and not any(row.size == "C" for row in others)
    assert found.seen in (4, 5)  # of ten, where seven of ten others are right


def test_few_people_show_only_what_shuts_people_out(work, plain, there):
    academy = Academy(work, METHOD, there)
    academy.join(60, 14)
    found = see(work, plain, academy)
    assert found.seen <= 2
    assert all(row.size != "A" for row in found.rows)


def test_questions_are_read_by_the_calibration_in_use(work, plain, there):
    shown = [(there[0], "working"), (there[1], "working")]
    with work.writing() as unit:
        a_calibration(unit, NOW, **{there[0].replace(".", "__"): 1.7})
    item = typical_items(plain, METHOD)[there[1]]
    with work.reading() as unit:
        known, told = compare_groups._difficulties(unit, plain, METHOD, shown)
        assert known == in_use(unit, there).at_level(*shown[0])
        assert told.b != known.b and told.floor == pytest.approx(type_of(item).chance(item))


def test_of_fewer_than_twenty_nothing_is_shown(work, plain, there):
    academy = Academy(work, METHOD, there)
    academy.join(60, 14, group=lambda n: n < 19)
    found = see(work, plain, academy, academy.group_id)
    assert found.chosen is None and found.rows == () and found.answers == 0
    assert found.seen is None
    assert not any(choice.enough for choice in found.choices)


def test_a_question_that_few_of_one_group_answered_is_counted_only(work, plain, there):
    academy = Academy(work, METHOD, there)
    academy.join(60, 6, group=lambda n: n < 25)
    found = see(work, plain, academy)
    assert found.chosen.id == academy.group_id
    assert found.few + len(found.rows) == len(families(plain, method=METHOD))
    assert all(min(row.people) >= LEAST_PEOPLE for row in found.rows)


def test_what_is_known_without_asking_can_be_compared(work, plain, there):
    academy = Academy(work, METHOD, there)
    names = academy.join(90, 14)
    with work.writing(academy.boss.viewer) as unit:
        for person in names[:30]:
            people.person(unit, person).spelling = "american"
        unit.session.add_all(_easier(person, academy) for person in names[30:55])
    found = see(work, plain, academy, "easier")
    able = [choice.id for choice in found.choices if choice.enough]
    assert able == ["spelling", "easier", academy.group_id] and found.chosen.id == "easier"
    assert see(work, plain, academy, "spelling").chosen.id == "spelling"


def _easier(person, academy, percent=25):
    return TimeAllowanceRow(
        person_id=person,
        organisation_id=academy.id,
        percent=percent,
        set_by=academy.boss.id,
        set_at=NOW,
    )


def test_other_places_are_compared_with_only_where_none_stands_alone(work, plain, there):
    academy = Academy(work, METHOD, there)
    academy.join(40, 14)
    Academy(work, METHOD, there).join(40, 14, seed=2)
    assert not see(work, plain, academy).choices[-1].enough
    Academy(work, METHOD, there).join(30, 14, seed=3)
    found = see(work, plain, academy, "elsewhere")
    assert found.chosen.id == "elsewhere" and found.answers == 110 * 14
    assert max(row.people[1] for row in found.rows) <= 40


def test_only_first_answers_count_and_assessments_come_first(work, plain, there):
    academy = Academy(work, METHOD, there)
    names = academy.join(40, 14)
    before = see(work, plain, academy)
    with work.writing() as unit:
        for person in names[:3]:
            someone = Someone(person, "", academy.id, NOBODY)
            sitting = a_sitting(someone, METHOD, True)
            unit.session.add(sitting)
            unit.session.flush()
            unit.session.add_all(_asked(plain, sitting.id, there[:2]))
    after = see(work, plain, academy)
    assert before.answers <= after.answers <= before.answers + 6
    assert see(work, plain, academy) == after


def _asked(plain, sitting_id, there):
    for position, family in enumerate(there, 1):
        item = generate(plain, family, position, "working")
        yield SittingItemRow(
            sitting_id=sitting_id,
            position=position,
            phase="main",
            family=family,
            kept=as_kept(item),
            answer=None,
            flagged=False,
        )


def test_it_is_for_those_who_teach_or_look_after_it_and_for_their_own_people(work, plain, there):
    academy = Academy(work, METHOD, there)
    academy.join(60, 14)
    with pytest.raises(Forbidden):
        see(work, plain, academy, who=a_person(work, organisation=academy.id))
    stranger = a_person(work, "instructor")
    assert see(work, plain, academy, academy.group_id, who=stranger).chosen is None
    with work.reading(academy.boss.viewer) as unit, pytest.raises(NotFound):
        compare_groups.see(unit, plain, "glue_gun", "")
