"""Raw score, critical errors, siblings, topics."""

from hypothesis import given
from hypothesis import strategies as st

from trainer.core.items.item import Mark
from trainer.core.marking.sitting import (
    Answered,
    Sibling,
    called_for,
    raw_score,
    topics_to_work_on,
    unresolved,
)

RIGHT, WRONG, DANGER = Mark(1.0), Mark(0.0), Mark(0.0, critical_error=True)


def answered(family, mark, topic="timings", critical=False, position=1):
    return Answered(position, family, topic, critical, ("x.fact",), mark)


def test_part_of_an_answer_is_no_point():
    assert raw_score([answered("a", Mark(0.75)), answered("b", RIGHT), answered("c", None)]) == 1


def test_a_critical_error_brings_three_siblings_of_its_family_once():
    main = [answered("a", DANGER), answered("a", DANGER), answered("b", WRONG)]
    assert called_for(main, 2, 3) == (Sibling("a", 1), Sibling("a", 2), Sibling("a", 3))


def test_leaving_a_critical_item_open_is_no_way_round_it():
    main = [answered("a", RIGHT), answered("b", None, critical=True)]
    assert called_for(main, 1, 1) == (Sibling("b", 1),)
    assert called_for(main, 2, 1) == ()


def test_enough_right_resolves_and_fewer_do_not():
    assert unresolved([answered("a", RIGHT)] * 3, 3) == ()
    mixed = [answered("a", RIGHT), answered("a", None), answered("b", RIGHT)]
    assert unresolved(mixed, 3) == ("a",)
    assert unresolved(mixed, 2) == ("a",)
    assert unresolved(mixed, 1) == ()
    assert unresolved([answered("a", RIGHT), answered("a", RIGHT), answered("a", DANGER)], 2) == ()


def test_unresolved_topics_come_first_then_the_weakest():
    main = [
        answered("a", RIGHT, "removal_safety"),
        answered("b", DANGER, "contraindications"),
        answered("c", RIGHT, "contraindications"),
        answered("d", RIGHT, "contraindications"),
        answered("e", RIGHT, "contraindications"),
        answered("f", WRONG, "timings"),
    ]
    assert topics_to_work_on(main, ("b",), 0.7) == ("contraindications", "timings")


@given(st.lists(st.sampled_from([RIGHT, WRONG, DANGER, None]), min_size=1, max_size=40))
def test_only_critical_errors_or_open_ones_call(marks):
    main = [answered(f"f{n}", mark) for n, mark in enumerate(marks)]
    errors = sum(mark is DANGER for mark in marks)
    assert len(called_for(main, 0, 3)) == 3 * errors
    assert raw_score(main) == marks.count(RIGHT)
