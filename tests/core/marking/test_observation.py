"""Ticked criteria: what they come to."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.core.knowledge.criterion import Criterion
from trainer.core.marking.observation import outcome
from trainer.core.problems import InputProblem


def sheet(critical, others):
    names = [(f"m.c{n}", True) for n in range(critical)] + [
        (f"m.o{n}", False) for n in range(others)
    ]
    return [Criterion(name, "m", "fit", f"Does {name}", c) for name, c in names]


def ids(criteria):
    return {one.id for one in criteria}


def test_all_ticked_is_met():
    criteria = sheet(3, 5)
    found = outcome(criteria, ids(criteria), 0.8)
    assert found.met
    assert (found.others_needed, found.critical_missed) == (4, ())


def test_one_critical_missed_is_not_met_whatever_the_rest():
    criteria = sheet(3, 5)
    found = outcome(criteria, ids(criteria) - {"m.c1"}, 0.0)
    assert not found.met
    assert [one.id for one in found.critical_missed] == ["m.c1"]


@pytest.mark.parametrize(
    ("others", "missed", "met"),
    [(5, 1, True), (5, 2, False), (4, 0, True), (4, 1, False), (10, 2, True), (10, 3, False)],
)
def test_four_in_five_of_the_others_rounded_up(others, missed, met):
    criteria = sheet(2, others)
    ticked = ids(criteria) - {f"m.o{n}" for n in range(missed)}
    assert outcome(criteria, ticked, 0.8).met is met


def test_a_sheet_without_other_criteria_needs_none():
    assert outcome(sheet(2, 0), {"m.c0", "m.c1"}, 0.8).met


@given(st.integers(0, 6), st.integers(0, 12), st.integers(0, 100), st.data())
def test_met_means_every_critical_one_and_the_share(critical, others, percent, data):
    criteria, share = sheet(critical, others), percent / 100
    if not criteria:
        return
    ticked = data.draw(st.sets(st.sampled_from(sorted(ids(criteria)))))
    found = outcome(criteria, ticked, share)
    every = {one.id for one in criteria if one.critical} <= ticked
    got = sum(one.id in ticked for one in criteria if not one.critical)
    assert found.met is (every and got >= share * others - 1e-6)


def test_what_is_not_on_the_sheet_is_refused():
    with pytest.raises(InputProblem, match="not on this sheet"):
        outcome(sheet(1, 1), {"m.c0", "other.c0"}, 0.8)
    with pytest.raises(InputProblem, match="no criteria"):
        outcome([], set(), 0.8)
    with pytest.raises(ValueError, match="share"):
        outcome(sheet(1, 1), set(), 1.2)
