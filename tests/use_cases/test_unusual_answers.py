"""Answers that do not fit one another are pointed out to instructors, and decide nothing."""

import pytest

from tests.cohort.learners import Learner
from tests.cohort.path import Walk, sit
from tests.support.people import NOW, a_person
from trainer.core.measurement.priors import Difficulty
from trainer.use_cases.unusual_answers import GUESSED, MIXED, SLIPPED, unusual

SPREAD = [Difficulty(1.2, b / 8, 0.1, 0.2) for b in range(-20, 21)]


def test_answers_in_order_of_difficulty_are_as_they_should_be():
    assert unusual([one.b < 0.4 for one in SPREAD], SPREAD) == ""


def test_hard_ones_right_and_easy_ones_wrong_are_not():
    assert unusual([one.b > 0 for one in SPREAD], SPREAD) in (GUESSED, SLIPPED, MIXED)


def test_where_all_are_alike_nothing_can_be_unusual():
    alike = [Difficulty(1.0, 0.0, 0.1, 0.25)] * 20
    assert unusual([number % 3 == 0 for number in range(20)], alike) == ""


def test_too_few_answers_say_nothing():
    assert unusual([False, True], SPREAD[:2]) == ""


@pytest.mark.parametrize("theta", [-1.0, 1.5, 4.0])
def test_a_sitting_keeps_it_beside_its_outcome(sqlite_work, bank, theta):
    walk = Walk(sqlite_work, bank, a_person(sqlite_work), Learner(f"plain {theta}", theta))
    row = sit(walk, "tape_in", NOW)
    assert row.outcome["unusual"] in ("", GUESSED, SLIPPED, MIXED)
