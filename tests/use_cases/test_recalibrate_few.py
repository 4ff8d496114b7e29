"""With very few people a calibration says so, keeps to what features say, and is never used."""

from dataclasses import replace
from datetime import date
from math import isfinite

import pytest

from trainer.core.measurement.calibration.recalibrate import Answer, recalibrate
from trainer.core.measurement.priors import SPREAD, before_data
from trainer.use_cases.recalibrate import LEAST, InputProblem, reckon

DAY, FAMILIES, FAR = date(2026, 3, 3), 12, 4.0
KINDS = {
    "all right": lambda n: True,
    "all wrong": lambda n: False,
    "by turns": lambda n: n % 2 == 0,
}


def answers(people, kind):
    return [
        Answer(f"person {who}", f"family {n}", KINDS[kind](n + who), "working", {}, 0.2)
        for who in range(people)
        for n in range(FAMILIES)
    ]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("people", [1, 2, 5])
def test_few_people_move_little_and_nothing_runs_away(people, kind):
    found = recalibrate(answers(people, kind), DAY)
    before = before_data("working", {}, 0.2)
    for name in found.families:
        one = found.difficulty(name, "working", {}, 0.2)
        assert all(isfinite(value) for value in (one.a, one.b, one.b_sd))
        assert abs(one.b - before.b) < FAR
        assert one.b_sd > SPREAD / 2
        assert 0.3 < one.a < 3


@pytest.mark.parametrize("kind", KINDS)
def test_many_answers_of_few_people_are_refused(kind):
    """Whether five people are able or their questions easy, no number of answers can tell."""
    many = [
        replace(one, family=f"{one.family} {part}") for one in answers(5, kind) for part in range(4)
    ]
    assert len(many) >= LEAST
    with pytest.raises(InputProblem) as said:
        reckon(many, None, DAY)
    assert "are from too few people: 5" in str(said.value)


@pytest.mark.parametrize("people", [1, 2, 5])
def test_the_site_asks_for_more_in_words(people):
    with pytest.raises(InputProblem) as said:
        reckon(answers(people, "by turns"), None, DAY)
    assert f"{people * FAMILIES}, and {LEAST} are needed" in str(said.value)
    assert "difficulty is judged from features" in str(said.value)
