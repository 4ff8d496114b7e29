"""The method book: everything with its source, steps in an order that holds."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.knowledge.procedure import Step
from trainer.use_cases import read_book
from trainer.use_cases.refusals import NotFound


def test_every_method_has_its_chapter(bank):
    assert [one.id for one in read_book.methods(bank)]
    for method in bank.methods:
        chapter = read_book.chapter(bank, method)
        shown = {one.line.id for part in chapter.topics for one in (*part.own, *part.shared)}
        assert shown == {fact.id for fact in bank.facts_of(method)}
        lines = [one.line for part in chapter.topics for one in (*part.own, *part.shared)]
        assert all(line.status_words for line in lines)
        assert all(len(one.sides) > 1 for one in chapter.disputed)


def test_no_such_method_is_not_there(bank):
    with pytest.raises(NotFound):
        read_book.chapter(bank, "glue_gun")


@given(st.permutations(range(6)), st.data())
def test_no_step_stands_before_one_it_must_follow(order, data):
    before = {n: data.draw(st.sets(st.integers(0, n - 1))) if n else set() for n in range(6)}
    steps = [Step(f"s{n}", f"Step {n}", "", tuple(f"s{m}" for m in before[n])) for n in order]
    found = [step.id for step in read_book.in_order(steps)]
    assert sorted(found) == [f"s{n}" for n in range(6)]
    for n, earlier in before.items():
        assert all(found.index(f"s{m}") < found.index(f"s{n}") for m in earlier)


def test_steps_that_are_in_order_stay_as_they_are():
    steps = [Step("a", "A", ""), Step("b", "B", ""), Step("c", "C", "", ("a",))]
    assert [step.id for step in read_book.in_order(steps)] == ["a", "b", "c"]
