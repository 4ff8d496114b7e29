"""How answers fall: what is said of a question, and when nothing is."""

import pytest

from tests.support.answered import FAMILY, Place
from tests.support.people import a_person
from tests.support.plain_bank import BELIEF, METHOD, plain_bank
from tests.support.practised import a_sitting
from trainer.store.sittings import SittingItemRow
from trainer.use_cases import see_answers
from trainer.use_cases.refusals import Forbidden, NotFound


@pytest.fixture(scope="module")
def plain():
    return plain_bank()


@pytest.fixture
def place(work):
    return Place(work)


def test_a_good_question_rises_and_its_wrong_idea_falls(place, plain):
    place.answered(lambda n, k: n >= 6 or (n >= 3 and k))
    found = place.see(plain)
    (row,) = found.rows
    assert (row.answers, row.link, row.doubtful) == (27, "right", False)
    assert row.by_third == pytest.approx((0, 2 / 3, 1))
    (idea,) = row.ideas
    assert idea.belief == plain.misconceptions[BELIEF].belief
    assert idea.by_third == pytest.approx((1, 1 / 3, 0)) and not idea.draws_able
    assert (found.answers, found.forms, found.overlap, row.shown) == (27, 0, None, None)


def test_a_question_that_the_able_get_wrong_comes_first(place, plain):
    place.answered(lambda n, k: n >= 4)
    place.answered(lambda n, k: n < 4, family=f"timings_choose_all.{METHOD}")
    first, second = place.see(plain).rows
    assert (first.link, second.link) == ("reverse", "right")
    assert first.doubtful and first.ideas[0].draws_able
    assert not second.doubtful


def test_what_chance_alone_would_bring_is_no_reason_to_read_it_again(place, plain):
    """27 answers, correlation -0.29 with ability: its standard error is about 0.19."""
    place.answered(lambda n, k: k == 0 or (k == 2 and n < 5))
    (row,) = place.see(plain).rows
    assert row.link == "none" and not row.doubtful


def test_too_few_answers_say_nothing(place, plain):
    place.answered(lambda n, k: True, each=2)
    found = place.see(plain)
    assert found.rows == () and found.answers == 18 and found.few > 20


def test_cases_that_are_harder_than_others_show(place, plain):
    place.answered(lambda n, k: k % 2, lambda n, k: "odd" if k % 2 else "even", each=6)
    place.answered(lambda n, k: k % 2, lambda n, k: f"c{k // 2}", 6, f"timings_choose_all.{METHOD}")
    rows = {row.uneven: row for row in place.see(plain).rows}
    assert set(rows) == {True, False}
    assert rows[True].doubtful


def test_how_often_assessments_had_it(place, plain):
    place.answered(lambda n, k: n >= 4)
    for n, someone in enumerate(place.people[:4]):
        with place.work.writing() as unit:
            row = a_sitting(someone, METHOD, True)
            unit.session.add(row)
            unit.session.flush()
            for position, family in enumerate((FAMILY, f"timings_number.{METHOD}")[: 1 + n % 2], 1):
                unit.session.add(
                    SittingItemRow(
                        sitting_id=row.id,
                        position=position,
                        phase="main",
                        family=family,
                        kept={},
                        flagged=False,
                    )
                )
    found = place.see(plain)
    assert (found.forms, found.rows[0].shown) == (4, 1.0)
    assert found.overlap == pytest.approx((6 + 1) / 6 / 1.5)


def test_only_those_who_teach_or_look_after_it_and_only_their_own(place, plain, work):
    place.answered(lambda n, k: True)
    with pytest.raises(Forbidden):
        place.see(plain, place.people[0])
    stranger = a_person(work, "instructor")
    assert place.see(plain, stranger).rows == ()
    with work.reading(place.boss.viewer) as unit, pytest.raises(NotFound):
        see_answers.see(unit, plain, "glue_gun")
